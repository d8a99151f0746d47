-- A credit that names an invoice which nobody has handed in.
--
-- Severity:  warn
-- Grain:     one row per supplier, credit, invoice named
-- Reads:     ledger.purchases
-- Units:     GBP
-- Left out:  credits that name no invoice
WITH
named AS (
    SELECT
        line.supplier,
        line.document_no,
        line.credits_document_no,
        sum(line.line_net_gbp) AS net_gbp
    FROM ledger.purchases AS line
    WHERE line.document_type = 'credit' AND line.credits_document_no IS NOT NULL
    GROUP BY line.supplier, line.document_no, line.credits_document_no
)

SELECT
    'credit ' || named.document_no || ' of ' || named.supplier || ', ' || named.net_gbp
    || ' GBP, lowers invoice ' || named.credits_document_no || ', which is not here: hand it in'
        AS fault
FROM named
ANTI JOIN ledger.purchases AS invoice
    ON
        named.supplier = invoice.supplier
        AND named.credits_document_no = invoice.document_no
        AND invoice.document_type = 'invoice'
ORDER BY named.supplier, named.document_no, named.credits_document_no
