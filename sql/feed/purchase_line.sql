-- Every line of invoices and credits, in pence, with its place in its document.
--
-- Grain:     one row per supplier, document_type, document_no, year, line_rank
-- Reads:     ledger.purchases, usage.calendar
-- Units:     pence, whole, ex VAT, below 0 on a credit; base units. line_rank orders the lines of a
--            document by their number, else by what they say, never by the file: lines that say
--            the same are worth the same
-- Left out:  lines after the day that the run stands for
SELECT
    line.supplier,
    line.document_type,
    line.document_no,
    line.year,
    line.line_no,
    line.line_kind,
    line.material,
    line.document_on,
    line.quantity,
    line.job_ref,
    line.order_no,
    line.lot,
    line.expires_on,
    line.credits_document_no,
    line.credits_line_no,
    cast(line.line_net_gbp * 100 AS BIGINT) AS net_pence,
    coalesce(line.delivered_on, line.document_on) AS received_on,
    row_number() OVER (
        PARTITION BY line.supplier, line.document_type, line.document_no, line.year
        ORDER BY
            line.line_no ASC NULLS LAST, line.material ASC NULLS LAST,
            line.quantity ASC NULLS LAST, line.line_net_gbp ASC, line.description ASC,
            line.lot ASC NULLS LAST, line.expires_on ASC NULLS LAST,
            line.delivered_on ASC NULLS LAST
    ) AS line_rank
FROM ledger.purchases AS line
INNER JOIN usage.calendar AS calendar
    ON coalesce(line.delivered_on, line.document_on) <= calendar.as_of
