-- A trim offcut that is longer than a new length.
--
-- Severity:  warn
-- Grain:     one row per offcut at fault
-- Reads:     ledger.offcuts, ledger.materials
-- Units:     mm
-- Left out:  materials without a stock length
SELECT
    moved.material || ' piece of ' || moved.length_mm || ' mm on job '
    || coalesce(moved.job_ref, 'not named') || ': a new length is ' || item.stock_length_mm || ' mm'
        AS fault
FROM ledger.offcuts AS moved
INNER JOIN ledger.materials AS item ON moved.material = item.material
WHERE item.kind = 'trim' AND moved.length_mm > item.stock_length_mm
ORDER BY moved.job_ref, moved.material, moved.length_mm
