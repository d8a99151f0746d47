-- Lines of invoices and credits whose packs times their price are not what the line asks.
--
-- Grain:     one row per line
-- Reads:     ledger.purchases, receipt.file, usage.calendar
-- Units:     GBP; beyond: what the line asks more than packs x pack price, below 0 where less; on a
--            credit, what it gives back less
-- Left out:  lines without packs or without a pack price; differences of a penny or less; documents
--            of other days than the last twelve months
SELECT
    line.supplier,
    line.document_type,
    line.document_no,
    line.document_on,
    line.description,
    line.packs,
    line.pack_price_gbp,
    line.line_net_gbp,
    received.file_name,
    line.sheet,
    line.row_no,
    line.part_no,
    cast(line.packs * line.pack_price_gbp AS DECIMAL(12, 2)) AS multiplied_gbp,
    cast(line.line_net_gbp - line.packs * line.pack_price_gbp AS DECIMAL(12, 2)) AS beyond_gbp
FROM ledger.purchases AS line
INNER JOIN usage.calendar AS calendar
    ON line.document_on BETWEEN calendar.year_from_on AND calendar.as_of
INNER JOIN receipt.file AS received ON line.receipt_no = received.receipt_no
WHERE abs(line.packs * line.pack_price_gbp - line.line_net_gbp) > 0.01
