-- An invoice without line numbers on which one line stands twice: two deliveries, or a slip?
--
-- Severity:  warn
-- Grain:     one row per supplier, document and line that stands more than once
-- Reads:     ledger.purchases
-- Units:     GBP
-- Left out:  documents with line numbers, where a repeated line is held once; lines of no money
SELECT
    'document ' || line.document_no || ' of ' || line.supplier || ': ' || line.description || ' at '
    || line.line_net_gbp || ' GBP stands ' || if(count(*) = 2, 'twice', count(*) || ' times')
    || ': look at the paper' AS fault
FROM ledger.purchases AS line
WHERE line.line_no IS NULL AND line.line_net_gbp <> 0
GROUP BY
    line.supplier,
    line.document_type,
    line.document_no,
    line.document_on,
    line.description,
    line.packs,
    line.line_net_gbp,
    line.job_ref,
    line.delivered_on
HAVING count(*) > 1
ORDER BY line.supplier, line.document_no, line.description
