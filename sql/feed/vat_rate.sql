-- At which rate VAT was paid on each material.
--
-- Grain:     one row per material bought
-- Reads:     ledger.purchases
-- Units:     per cent; blank where its lines of goods say several rates, or one says none
-- Left out:  carriage and other lines: they are taken at the rate of the goods that they came with
SELECT
    line.material,
    CASE
        WHEN count(line.vat_pct) = count(*) AND min(line.vat_pct) = max(line.vat_pct)
            THEN min(line.vat_pct)
    END AS vat_pct
FROM ledger.purchases AS line
WHERE line.line_kind = 'goods' AND line.material IS NOT NULL
GROUP BY line.material
