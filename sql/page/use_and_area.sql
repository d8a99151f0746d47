-- How much resin each roof took for a square metre, beside its size.
--
-- Grain:     one row per job_ref, material
-- Reads:     comparison.rate_line
-- Units:     m2; rate in kg per m2 of roof
-- Left out:  lines held back
SELECT
    line.job_ref,
    line.job_type,
    line.material,
    line.area_m2,
    line.used_quantity / line.size AS rate
FROM comparison.rate_line AS line
WHERE line.kind = 'resin'
ORDER BY line.completed_on, line.job_ref, line.material
