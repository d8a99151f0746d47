-- What the jobs finished lately were allowed of each material, and what they used.
--
-- Grain:     one row per material
-- Reads:     comparison.use_by_job, usage.calendar
-- Units:     base units; GBP: sum of the jobs' rounded lines at the price in force on their day;
--            positive took more than allowed
-- Left out:  lines without an allowance or without a recorded use; the money of lines without a
--            known price: blank where none has one
SELECT
    line.material,
    line.kind,
    line.base_unit,
    cast(sum(line.allowed_quantity) AS DECIMAL(18, 3)) AS allowed_quantity,
    cast(sum(line.used_quantity) AS DECIMAL(18, 3)) AS used_quantity,
    cast(sum(line.difference_quantity) AS DECIMAL(18, 3)) AS difference_quantity,
    cast(sum(line.difference_gbp) AS DECIMAL(12, 2)) AS difference_gbp,
    count(*) AS job_count
FROM comparison.use_by_job AS line
INNER JOIN usage.calendar AS calendar
    ON line.completed_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
WHERE line.difference_quantity IS NOT NULL
GROUP BY line.material, line.kind, line.base_unit
ORDER BY abs(sum(line.difference_gbp)) DESC NULLS LAST, line.material ASC
