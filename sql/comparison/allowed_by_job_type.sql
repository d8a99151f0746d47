-- What the last twelve months' jobs of a type were allowed, used and need at least, for their size.
--
-- Grain:     one row per material, job_type
-- Reads:     comparison.rate_line, learn.least_quantity, usage.calendar
-- Units:     sizes as rate_label says; quantities in base units; rates are ratios of sums, the
--            allowed one and the floor over the jobs that have them
-- Left out:  as comparison.rate_line; jobs whose base is not known. What the plans use up is blank
--            where one of the jobs has none
SELECT
    line.material,
    line.kind,
    line.base_unit,
    line.job_type,
    line.rate_label,
    cast(sum(line.size) AS DOUBLE) AS size,
    cast(sum(line.base_quantity) AS DOUBLE) AS base_quantity,
    cast(sum(line.used_quantity) AS DOUBLE) AS used_quantity,
    count(*) AS job_count,
    CASE
        WHEN count(line.best_quantity) = count(*) THEN cast(sum(line.best_quantity) AS DOUBLE)
    END AS best_quantity,
    CASE
        WHEN count(line.no_reuse_quantity) = count(*)
            THEN cast(sum(line.no_reuse_quantity) AS DOUBLE)
    END AS no_reuse_quantity,
    sum(line.allowed_quantity)
    / sum(line.size) FILTER (WHERE line.allowed_quantity IS NOT NULL) AS allowed_rate,
    sum(lowest.least_quantity)
    / sum(line.size) FILTER (WHERE lowest.least_quantity IS NOT NULL) AS floor_rate
FROM comparison.rate_line AS line
INNER JOIN usage.calendar AS calendar
    ON line.completed_on BETWEEN calendar.year_from_on AND calendar.month_end_on
LEFT JOIN learn.least_quantity AS lowest
    ON line.job_ref = lowest.job_ref AND line.material = lowest.material
WHERE line.base_quantity > 0
GROUP BY line.material, line.kind, line.base_unit, line.job_type, line.rate_label
