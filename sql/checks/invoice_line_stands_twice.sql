-- A typed or listed invoice without line numbers on which one line stands twice: a slip?
--
-- Severity:  warn
-- Grain:     one row per supplier, document and line that stands more than once
-- Reads:     ledger.purchases, receipt.file
-- Units:     GBP
-- Left out:  documents with line numbers, where a repeated line is held once; lines of no money;
--            files whose own totals prove that both lines are charged (electronic, PDF); lines
--            that differ in anything that is filled, as lot, rate of VAT or order
SELECT
    'document ' || line.document_no || ' of ' || line.supplier || ': ' || line.description || ' at '
    || line.line_net_gbp || ' GBP stands ' || if(count(*) = 2, 'twice', count(*) || ' times')
    || ': look at the paper' AS fault
FROM ledger.purchases AS line
LEFT JOIN receipt.file AS received ON line.receipt_no = received.receipt_no
WHERE
    line.line_no IS NULL
    AND line.line_net_gbp <> 0
    AND NOT coalesce(received.is_proved, FALSE)
GROUP BY
    line.supplier,
    line.document_type,
    line.document_no,
    line.document_on,
    line.description,
    line.packs,
    line.line_net_gbp,
    line.job_ref,
    line.delivered_on,
    line.material,
    line.line_kind,
    line.pack_size,
    line.pack_price_gbp,
    line.unit,
    line.vat_pct,
    line.order_no,
    line.lot,
    line.expires_on,
    line.credits_document_no
HAVING count(*) > 1
ORDER BY line.supplier, line.document_no, line.description
