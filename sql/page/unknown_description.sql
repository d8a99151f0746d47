-- Wordings of suppliers that name no material yet, the ones that cost most first.
--
-- Grain:     one row per supplier, description (capitals and spaces apart)
-- Reads:     receipt.reject
-- Units:     net_gbp in pounds ex VAT
-- Left out:  lines that came back mended; of net_gbp, amounts that are not written plainly
WITH line AS (
    SELECT
        json_extract_string(fault.columns_text, '$.supplier') AS supplier,
        json_extract_string(fault.columns_text, '$.description') AS description,
        json_extract_string(fault.columns_text, '$.line_net_gbp') AS net_text,
        json_extract_string(fault.columns_text, '$.document_on') AS document_on
    FROM receipt.reject AS fault
    WHERE
        fault.record = 'purchases'
        AND fault.column_name = 'description'
        AND fault.reason LIKE 'is not known yet%'
        AND fault.mended_by_receipt_no IS NULL
)

SELECT
    any_value(line.supplier ORDER BY line.supplier ASC) AS supplier,
    any_value(line.description ORDER BY line.description ASC) AS description,
    count(*)::BIGINT AS line_count,
    coalesce(
        sum(try_cast(regexp_replace(line.net_text, '[£,\s]', '', 'g') AS DECIMAL(12, 2))), 0
    )::DECIMAL(12, 2) AS net_gbp,
    max(try_cast(line.document_on AS DATE)) AS last_on
FROM line
WHERE line.supplier IS NOT NULL AND line.description IS NOT NULL
GROUP BY
    lower(regexp_replace(trim(line.supplier), '\s+', ' ', 'g')),
    lower(regexp_replace(trim(line.description), '\s+', ' ', 'g'))
ORDER BY
    net_gbp DESC,
    supplier ASC,
    description ASC
