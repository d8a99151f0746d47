-- What each month's jobs left after materials.
--
-- Grain:     one row per month_on
-- Reads:     margin.job, comparison.use_by_job, usage.calendar
-- Units:     GBP ex VAT, sums of the jobs' rounded figures; left_ratio over price, of sums;
--            unpriced_count: materials used of which no price is known: they are not in it
-- Left out:  jobs without a price or without any recorded use; months before the last 24
WITH
done AS (
    SELECT
        job.job_ref,
        job.month_on,
        job.price_gbp,
        job.materials_gbp,
        job.left_gbp
    FROM margin.job AS job
    INNER JOIN usage.calendar AS calendar
        ON job.completed_on BETWEEN calendar.two_years_from_on AND calendar.month_end_on
    WHERE job.left_gbp IS NOT NULL AND job.price_gbp > 0
),

unpriced AS (
    SELECT
        done.month_on,
        count(DISTINCT line.material) AS material_count
    FROM done
    INNER JOIN comparison.use_by_job AS line ON done.job_ref = line.job_ref
    WHERE line.used_quantity IS NOT NULL AND line.cost_gbp IS NULL
    GROUP BY done.month_on
),

summed AS (
    SELECT
        done.month_on,
        cast(sum(done.price_gbp) AS DECIMAL(12, 2)) AS price_gbp,
        cast(sum(done.materials_gbp) AS DECIMAL(12, 2)) AS materials_gbp,
        cast(sum(done.left_gbp) AS DECIMAL(12, 2)) AS left_gbp,
        count(*) AS job_count,
        sum(done.left_gbp) / sum(done.price_gbp) AS left_ratio
    FROM done
    GROUP BY done.month_on
)

SELECT
    summed.month_on,
    summed.price_gbp,
    summed.materials_gbp,
    summed.left_gbp,
    summed.job_count,
    summed.left_ratio,
    coalesce(unpriced.material_count, 0) AS unpriced_count
FROM summed
LEFT JOIN unpriced ON summed.month_on = unpriced.month_on
ORDER BY summed.month_on
