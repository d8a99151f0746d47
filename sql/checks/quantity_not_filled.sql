-- A purchase or a count that says how much in its own unit, and nothing in the base unit.
--
-- Severity:  stop
-- Grain:     one row per line at fault
-- Reads:     ledger.purchases, ledger.stock_counts
-- Units:     none
-- Left out:  lines that are no goods, lines without packs
WITH
blank AS (
    SELECT
        line.material || ' on ' || line.supplier || ' ' || line.document_no AS place,
        line.receipt_no,
        line.row_no
    FROM ledger.purchases AS line
    WHERE
        line.line_kind = 'goods'
        AND line.packs IS NOT NULL
        AND line.pack_size IS NOT NULL
        AND line.quantity IS NULL
    UNION ALL
    SELECT
        counted.material || ' counted on ' || counted.counted_on AS place,
        counted.receipt_no,
        counted.row_no
    FROM ledger.stock_counts AS counted
    WHERE counted.quantity IS NULL
)

SELECT blank.place || ': no quantity' AS fault
FROM blank
ORDER BY blank.receipt_no, blank.row_no
