-- The jobs of a year on which most went beyond the best plan of their edges.
--
-- Grain:     one row per job_ref, material; at most eight
-- Reads:     comparison.cut_split, usage.calendar, stock.price_in_force
-- Units:     base units; GBP at the price in force
-- Left out:  materials without a price, jobs that used no more than their plan
SELECT
    split.job_ref,
    split.job_type,
    split.completed_on,
    split.material,
    split.base_unit,
    split.used_quantity,
    split.plan_quantity,
    split.avoidable_quantity,
    split.unexplained_quantity,
    split.beyond_plan_quantity,
    cast(split.beyond_plan_quantity * price.price_gbp AS DECIMAL(12, 2)) AS beyond_gbp
FROM comparison.cut_split AS split
INNER JOIN usage.calendar AS calendar
    ON split.completed_on BETWEEN calendar.year_from_on AND calendar.month_end_on
INNER JOIN stock.price_in_force AS price ON split.material = price.material
WHERE split.beyond_plan_quantity > 0
ORDER BY beyond_gbp DESC, split.job_ref ASC, split.material ASC
LIMIT 8
