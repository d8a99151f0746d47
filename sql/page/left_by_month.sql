-- What each month's jobs left after materials.
--
-- Grain:     one row per month_on
-- Reads:     margin.job, usage.calendar
-- Units:     GBP ex VAT, sums of the jobs' rounded figures; left_ratio over price, of sums
-- Left out:  jobs without a price or without any recorded use; months before the last 24
SELECT
    done.month_on,
    cast(sum(done.price_gbp) AS DECIMAL(12, 2)) AS price_gbp,
    cast(sum(done.materials_gbp) AS DECIMAL(12, 2)) AS materials_gbp,
    cast(sum(done.left_gbp) AS DECIMAL(12, 2)) AS left_gbp,
    count(*) AS job_count,
    sum(done.left_gbp) / sum(done.price_gbp) AS left_ratio
FROM margin.job AS done
INNER JOIN usage.calendar AS calendar
    ON done.completed_on BETWEEN calendar.two_years_from_on AND calendar.month_end_on
WHERE done.left_gbp IS NOT NULL AND done.price_gbp > 0
GROUP BY done.month_on
ORDER BY done.month_on
