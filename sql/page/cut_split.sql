-- Where the trim, batten and board of a year went: laps, unavoidable, avoidable, unexplained.
--
-- Grain:     one row per material
-- Reads:     comparison.cut_split, usage.calendar, stock.price_in_force
-- Units:     base units; lost_ratio: all that is not on the roof over the bare need; beyond_plan is
--            of the jobs of which no leftovers were written down; GBP at the price in force
-- Left out:  jobs finished before the last twelve months
WITH
line AS (
    SELECT
        split.material,
        split.kind,
        split.base_unit,
        split.used_quantity,
        split.net_quantity,
        split.lap_quantity,
        split.unavoidable_quantity,
        split.avoidable_quantity,
        split.unexplained_quantity,
        split.is_proven,
        split.below_zero,
        CASE WHEN split.avoidable_quantity IS NULL THEN split.beyond_plan_quantity END
            AS beyond_plan_quantity
    FROM comparison.cut_split AS split
    INNER JOIN usage.calendar AS calendar
        ON split.completed_on BETWEEN calendar.year_from_on AND calendar.month_end_on
),

summed AS (
    SELECT
        line.material,
        line.kind,
        line.base_unit,
        cast(sum(line.used_quantity) AS DECIMAL(18, 3)) AS used_quantity,
        cast(sum(line.net_quantity) AS DECIMAL(18, 3)) AS net_quantity,
        cast(sum(line.lap_quantity) AS DECIMAL(18, 3)) AS lap_quantity,
        cast(sum(line.unavoidable_quantity) AS DECIMAL(18, 3)) AS unavoidable_quantity,
        cast(coalesce(sum(line.avoidable_quantity), 0) AS DECIMAL(18, 3)) AS avoidable_quantity,
        cast(coalesce(sum(line.unexplained_quantity), 0) AS DECIMAL(18, 3))
            AS unexplained_quantity,
        cast(coalesce(sum(line.beyond_plan_quantity), 0) AS DECIMAL(18, 3)) AS beyond_plan_quantity,
        count(*) AS job_count,
        count(*) FILTER (WHERE line.beyond_plan_quantity IS NULL) AS written_count,
        count(*) FILTER (WHERE line.below_zero IS NOT NULL) AS below_zero_count,
        count(*) FILTER (WHERE line.is_proven) AS proven_count
    FROM line
    GROUP BY line.material, line.kind, line.base_unit
)

SELECT
    summed.material,
    summed.kind,
    summed.base_unit,
    summed.job_count,
    summed.written_count,
    summed.below_zero_count,
    summed.proven_count,
    summed.used_quantity,
    summed.net_quantity,
    summed.lap_quantity,
    summed.unavoidable_quantity,
    summed.avoidable_quantity,
    summed.unexplained_quantity,
    summed.beyond_plan_quantity,
    cast(
        (summed.avoidable_quantity + summed.unexplained_quantity + summed.beyond_plan_quantity)
        * price.price_gbp AS DECIMAL(12, 2)
    ) AS beyond_gbp,
    (summed.used_quantity - summed.net_quantity) / nullif(summed.net_quantity, 0) AS lost_ratio
FROM summed
LEFT JOIN stock.price_in_force AS price ON summed.material = price.material
ORDER BY summed.kind DESC, beyond_gbp DESC NULLS LAST, summed.material ASC
