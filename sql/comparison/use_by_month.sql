-- How much of each material a month's roofs took for their size, beside what they were allowed.
--
-- Grain:     one row per material, month_on, rate_label
-- Reads:     comparison.rate_line
-- Units:     rates as rate_label says, as ratios of sums; the allowed rate is over the jobs that
--            have an allowance
-- Left out:  as comparison.rate_line
SELECT
    line.material,
    line.kind,
    line.base_unit,
    line.month_on,
    line.rate_label,
    count(*) AS job_count,
    sum(line.used_quantity) / sum(line.size) AS use_rate,
    sum(line.allowed_quantity)
    / sum(line.size) FILTER (WHERE line.allowed_quantity IS NOT NULL) AS allowed_rate
FROM comparison.rate_line AS line
GROUP BY line.material, line.kind, line.base_unit, line.month_on, line.rate_label
