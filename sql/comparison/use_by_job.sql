-- What a finished job was allowed and what it used, in quantity and in money.
--
-- Grain:     one row per job_ref, material
-- Reads:     ledger.jobs, usage.allowed, usage.job_quantity, usage.net_quantity, usage.calendar,
--            stock.price_step, result.used_cost
-- Units:     base units; money rounded here at the price in force on the day of completion, by
--            way of six places, which give the half pennies back that a price a base unit lost in
--            its last place; difference: positive took more than was allowed. cost: what the very
--            lots and rack pieces cost, carriage in, else used at the price in force; cost_how says
--            which, and what the cost of the lots rests on
-- Left out:  jobs finished after the day that the run stands for; lines with neither an allowance
--            nor a use. Money is blank where no price is known
WITH
line AS (
    SELECT
        job.job_ref,
        job.job_type,
        job.completed_on,
        job.area_m2,
        allowed.material,
        allowed.kind,
        allowed.base_unit,
        net.fitted_net_quantity,
        allowed.allowed_quantity,
        quantity.used_quantity,
        step.price_gbp,
        step.how AS price_how
    FROM usage.allowed AS allowed
    INNER JOIN ledger.jobs AS job
        ON allowed.job_ref = job.job_ref AND job.status = 'completed'
    INNER JOIN usage.calendar AS calendar ON job.completed_on <= calendar.as_of
    INNER JOIN usage.net_quantity AS net
        ON allowed.job_ref = net.job_ref AND allowed.material = net.material
    LEFT JOIN usage.job_quantity AS quantity
        ON allowed.job_ref = quantity.job_ref AND allowed.material = quantity.material
    LEFT JOIN stock.price_step AS step
        ON
            allowed.material = step.material
            AND job.completed_on >= step.from_on
            AND job.completed_on < step.until_on
    WHERE coalesce(allowed.allowed_quantity, quantity.used_quantity) IS NOT NULL
),

priced AS (
    SELECT
        line.job_ref,
        line.material,
        cast(
            cast(line.allowed_quantity * line.price_gbp AS DECIMAL(24, 6)) AS DECIMAL(12, 2)
        ) AS allowed_gbp,
        cast(
            cast(line.used_quantity * line.price_gbp AS DECIMAL(24, 6)) AS DECIMAL(12, 2)
        ) AS used_gbp
    FROM line
)

SELECT
    line.job_ref,
    line.job_type,
    line.completed_on,
    line.area_m2,
    line.material,
    line.kind,
    line.base_unit,
    line.fitted_net_quantity,
    line.allowed_quantity,
    line.used_quantity,
    line.price_gbp,
    line.price_how,
    priced.allowed_gbp,
    priced.used_gbp,
    cast(date_trunc('month', line.completed_on) AS DATE) AS month_on,
    cast(line.used_quantity - line.allowed_quantity AS DECIMAL(18, 3)) AS difference_quantity,
    cast(priced.used_gbp - priced.allowed_gbp AS DECIMAL(12, 2)) AS difference_gbp,
    coalesce(truly.used_gbp, priced.used_gbp) AS cost_gbp,
    CASE
        WHEN truly.used_gbp IS NOT NULL THEN coalesce(truly.how, 'lots')
        WHEN priced.used_gbp IS NOT NULL THEN 'price in force'
    END AS cost_how
FROM line
INNER JOIN priced ON line.job_ref = priced.job_ref AND line.material = priced.material
LEFT JOIN result.used_cost AS truly
    ON line.job_ref = truly.job_ref AND line.material = truly.material
