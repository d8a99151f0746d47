-- Every invoice line of goods, with the price paid for a base unit.
--
-- Grain:     one row per line of an invoice
-- Reads:     ledger.purchases, usage.calendar
-- Units:     base units; price_gbp per base unit, from the stated net of the line, to twelve places
-- Left out:  credits, carriage and other lines that are no goods, lines without a quantity, lines
--            after the day that the run stands for
SELECT
    line.material,
    line.supplier,
    line.document_no,
    line.line_no,
    line.packs,
    line.pack_size,
    line.quantity,
    line.line_net_gbp,
    line.lot,
    line.expires_on,
    line.receipt_no,
    line.row_no,
    cast(line.line_net_gbp / line.quantity AS DECIMAL(20, 12)) AS price_gbp,
    coalesce(line.delivered_on, line.document_on) AS bought_on
FROM ledger.purchases AS line
INNER JOIN usage.calendar AS calendar
    ON coalesce(line.delivered_on, line.document_on) <= calendar.as_of
WHERE
    line.material IS NOT NULL
    AND line.line_kind = 'goods'
    AND line.document_type = 'invoice'
    AND line.quantity > 0
