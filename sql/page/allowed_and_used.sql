-- What the jobs finished lately were allowed of each material, and what they used.
--
-- Grain:     one row per material
-- Reads:     comparison.taken_lately
-- Units:     base units; GBP: sum of the jobs' rounded lines at the price in force on their day;
--            positive took more than allowed. In whole packs: over all the jobs, right to the packs
--            that stood open at both ends
-- Left out:  as comparison.taken_lately; the money of lines without a known price: blank where none
--            has one
SELECT
    line.material,
    line.kind,
    line.base_unit,
    cast(sum(line.allowed_quantity) AS DECIMAL(18, 3)) AS allowed_quantity,
    cast(sum(line.used_quantity) AS DECIMAL(18, 3)) AS used_quantity,
    cast(sum(line.difference_quantity) AS DECIMAL(18, 3)) AS difference_quantity,
    cast(sum(line.difference_gbp) AS DECIMAL(12, 2)) AS difference_gbp,
    count(*) AS job_count
FROM comparison.taken_lately AS line
GROUP BY line.material, line.kind, line.base_unit
ORDER BY abs(sum(line.difference_gbp)) DESC NULLS LAST, line.material ASC
