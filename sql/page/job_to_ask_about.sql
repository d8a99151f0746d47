-- The jobs finished lately that are worth a question, and what to ask first.
--
-- Grain:     one row per job_ref, material; at most five
-- Reads:     learn.use_line, usage.job_quantity, ledger.jobs, result.fit,
--            result.fit_rate, stock.price_in_force, usage.calendar
-- Units:     base units; usual low and high: what eight jobs in ten of the type use on this base,
--            base + fixed loss + (rate of the type + miss at its size) x base; GBP beyond high,
--            today's price
-- Left out:  lines held back; use below the usual; materials without a fit or a price
WITH
line AS (
    SELECT
        learned.job_ref,
        learned.job_type,
        learned.completed_on,
        learned.material,
        learned.base_unit,
        learned.used_quantity,
        CASE
            WHEN fit.blend_ratio IS NULL THEN learned.base_quantity
            ELSE
                learned.best_quantity
                + fit.blend_ratio * (learned.no_reuse_quantity - learned.best_quantity)
        END AS base_quantity
    FROM learn.use_line AS learned
    INNER JOIN result.fit AS fit ON learned.material = fit.material
    INNER JOIN usage.calendar AS calendar
        ON learned.completed_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
),

spread AS (
    SELECT
        line.job_ref,
        line.material,
        sqrt(
            1 - fit.size_spread_ratio
            + fit.size_spread_ratio * power(fit.reference_quantity / line.base_quantity, 2)
        ) AS beside_usual_size
    FROM line
    INNER JOIN result.fit AS fit ON line.material = fit.material
),

usual AS (
    SELECT
        line.job_ref,
        line.job_type,
        line.completed_on,
        line.material,
        line.base_unit,
        line.used_quantity,
        line.base_quantity
        + fit.fitted_fixed_loss
        + (
            coalesce(rated.pooled_ratio, fit.mean_ratio)
            + fit.low_error_ratio * spread.beside_usual_size
        ) * line.base_quantity AS low_quantity,
        line.base_quantity
        + fit.fitted_fixed_loss
        + (
            coalesce(rated.pooled_ratio, fit.mean_ratio)
            + fit.high_error_ratio * spread.beside_usual_size
        ) * line.base_quantity AS high_quantity
    FROM line
    INNER JOIN result.fit AS fit ON line.material = fit.material
    INNER JOIN spread ON line.job_ref = spread.job_ref AND line.material = spread.material
    LEFT JOIN result.fit_rate AS rated
        ON line.material = rated.material AND line.job_type = rated.job_type
)

SELECT
    usual.job_ref,
    usual.job_type,
    usual.completed_on,
    usual.material,
    usual.base_unit,
    cast(usual.used_quantity AS DECIMAL(18, 3)) AS used_quantity,
    cast(usual.low_quantity AS DECIMAL(18, 3)) AS usual_low_quantity,
    cast(usual.high_quantity AS DECIMAL(18, 3)) AS usual_high_quantity,
    cast((usual.used_quantity - usual.high_quantity) * price.price_gbp AS DECIMAL(12, 2))
        AS beyond_gbp,
    CASE
        WHEN quantity.returned_quantity IS NULL
            THEN 'Nothing is recorded as brought back: is the return missing?'
        WHEN job.measured_area_m2 IS NULL
            THEN 'The roof was not measured again: was it larger than the quote?'
        WHEN quantity.how LIKE '%judged%'
            THEN 'The quantity was judged by eye: was a full pack counted as opened?'
        ELSE 'What was different on this roof?'
    END AS ask
FROM usual
INNER JOIN ledger.jobs AS job ON usual.job_ref = job.job_ref
INNER JOIN usage.job_quantity AS quantity
    ON usual.job_ref = quantity.job_ref AND usual.material = quantity.material
INNER JOIN stock.price_in_force AS price ON usual.material = price.material
WHERE usual.used_quantity > usual.high_quantity
ORDER BY beyond_gbp DESC, usual.job_ref ASC, usual.material ASC
LIMIT 5
