-- Month by month, how much of a material the roofs took for their size, beside what was allowed,
-- and which months lie outside the usual.
--
-- Grain:     one row per material, month_on
-- Reads:     comparison.use_by_month, usage.calendar
-- Units:     as rate_label says. Usual range: mean of the months before the last three -/+ 2.66 x
--            the mean absolute difference between neighbouring months, the limits of a chart of
--            individuals and moving range (2.66 = 3 / 1.128); the same on every row of a material
-- Left out:  kinds other than resin, topcoat, mat and trim; lines held back; months before the
--            last 24; the range under six months before the last three
WITH
monthly AS (
    SELECT
        rated.material,
        rated.kind,
        rated.base_unit,
        rated.month_on,
        rated.job_count,
        rated.use_rate,
        rated.allowed_rate,
        rated.rate_label,
        rated.month_on < calendar.lately_from_on AS is_before
    FROM comparison.use_by_month AS rated
    INNER JOIN usage.calendar AS calendar
        ON rated.month_on BETWEEN calendar.two_years_from_on AND calendar.month_end_on
    WHERE rated.kind IN ('resin', 'topcoat', 'mat', 'trim')
),

stepped AS (
    SELECT
        monthly.material,
        monthly.month_on,
        monthly.use_rate,
        abs(
            monthly.use_rate
            - lag(monthly.use_rate) OVER (
                PARTITION BY monthly.material ORDER BY monthly.month_on
            )
        ) AS step
    FROM monthly
    WHERE monthly.is_before
),

usual AS (
    SELECT
        stepped.material,
        avg(stepped.use_rate ORDER BY stepped.month_on)
        - 2.66 * avg(stepped.step ORDER BY stepped.month_on) AS low_rate,
        avg(stepped.use_rate ORDER BY stepped.month_on)
        + 2.66 * avg(stepped.step ORDER BY stepped.month_on) AS high_rate
    FROM stepped
    GROUP BY stepped.material
    HAVING count(*) >= 6
)

SELECT
    monthly.material,
    monthly.base_unit,
    monthly.month_on,
    monthly.job_count,
    monthly.use_rate,
    monthly.allowed_rate,
    monthly.rate_label,
    usual.low_rate AS usual_low_rate,
    usual.high_rate AS usual_high_rate,
    coalesce(monthly.use_rate NOT BETWEEN usual.low_rate AND usual.high_rate, FALSE) AS is_outside
FROM monthly
LEFT JOIN usual ON monthly.material = usual.material
ORDER BY
    monthly.month_on ASC,
    list_position(['resin', 'topcoat', 'mat', 'trim'], monthly.kind) ASC,
    monthly.material ASC
