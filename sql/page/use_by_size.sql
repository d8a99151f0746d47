-- Whether small roofs take more resin for a square metre than large ones.
--
-- Grain:     one row per material, size_no
-- Reads:     comparison.rate_line
-- Units:     m2; three groups of equally many jobs by area, 1 the smallest roofs; rate: sum of use
--            over sum of area, as rate_label says
-- Left out:  lines held back; materials with fewer than nine jobs
WITH
line AS (
    SELECT
        rated.material,
        rated.base_unit,
        rated.rate_label,
        rated.area_m2,
        rated.used_quantity,
        rated.size,
        ntile(3) OVER (
            PARTITION BY rated.material ORDER BY rated.area_m2 ASC, rated.job_ref ASC
        ) AS size_no,
        count(*) OVER (PARTITION BY rated.material) AS line_count
    FROM comparison.rate_line AS rated
    WHERE rated.kind = 'resin'
)

SELECT
    line.material,
    line.base_unit,
    line.rate_label,
    line.size_no,
    min(line.area_m2) AS least_area_m2,
    max(line.area_m2) AS most_area_m2,
    count(*) AS job_count,
    sum(line.used_quantity) / sum(line.size) AS rate
FROM line
WHERE line.line_count >= 9
GROUP BY line.material, line.base_unit, line.rate_label, line.size_no
ORDER BY line.material, line.size_no
