-- Where materials of a kind stand in for one another: the same use, as another mix and as more.
--
-- Grain:     one row per job_ref, kind with two materials or more
-- Reads:     ledger.jobs, ledger.materials, usage.allowed, usage.job_quantity, usage.calendar,
--            stock.price_step
-- Units:     GBP at the price on the day of completion, above 0 cost more than allowed; a memo, not
--            beside the parts of the margin but the same money cut another way. With S allowed and
--            A used of each, T = sum A and Ts = sum S in kg (mat: of glass), mix = sum of
--            (A - S x T / Ts) at its price, yield = (T / Ts - 1) x sum of S at its price; usage =
--            mix + yield. Yield and usage are rounded, mix is what is left
-- Left out:  kinds other than mat, resin, topcoat, primer; kinds of which a quantity, a price or
--            the weight of a mat is not known, or nothing was allowed
WITH
named AS (
    SELECT
        allowed.job_ref,
        allowed.material
    FROM usage.allowed AS allowed
    UNION
    SELECT
        used.job_ref,
        used.material
    FROM usage.job_quantity AS used
    WHERE used.used_quantity IS NOT NULL
),

line AS (
    SELECT
        named.job_ref,
        job.completed_on,
        named.material,
        item.kind,
        cast(cast(step.price_gbp AS DECIMAL(24, 12)) * 1000000 * 1000000 AS HUGEINT) AS price,
        cast(
            CASE
                WHEN allowed.job_ref IS NULL THEN 0 ELSE allowed.allowed_quantity
            END * 1000 AS HUGEINT
        ) AS allowed,
        cast(used.used_quantity * 1000 AS HUGEINT) AS used,
        CASE item.kind WHEN 'mat' THEN cast(item.g_per_m2 AS HUGEINT) ELSE 1000 END AS weight
    FROM named
    INNER JOIN ledger.jobs AS job ON named.job_ref = job.job_ref AND job.status = 'completed'
    INNER JOIN usage.calendar AS calendar ON job.completed_on <= calendar.as_of
    INNER JOIN ledger.materials AS item
        ON
            named.material = item.material
            AND item.kind IN ('mat', 'resin', 'topcoat', 'primer')
    LEFT JOIN usage.allowed AS allowed
        ON named.job_ref = allowed.job_ref AND named.material = allowed.material
    LEFT JOIN usage.job_quantity AS used
        ON named.job_ref = used.job_ref AND named.material = used.material
    LEFT JOIN stock.price_step AS step
        ON
            named.material = step.material
            AND job.completed_on >= step.from_on
            AND job.completed_on < step.until_on
),

summed AS (
    SELECT
        line.job_ref,
        line.completed_on,
        line.kind,
        count(*) AS material_count,
        sum(line.used * line.weight) AS used_weight,
        sum(line.allowed * line.weight) AS allowed_weight,
        sum(line.used * line.price) AS used_worth,
        sum(line.allowed * line.price) AS allowed_worth
    FROM line
    GROUP BY line.job_ref, line.completed_on, line.kind
    HAVING
        count(*) > 1
        AND bool_and(
            line.used IS NOT NULL
            AND line.allowed IS NOT NULL
            AND line.price IS NOT NULL
            AND line.weight IS NOT NULL
        )
        AND sum(line.allowed * line.weight) > 0
),

exact AS (
    SELECT
        summed.job_ref,
        summed.completed_on,
        summed.kind,
        summed.material_count,
        summed.used_worth - summed.allowed_worth AS usage_worth,
        10000000000000 * summed.allowed_weight AS denominator,
        summed.allowed_worth * (summed.used_weight - summed.allowed_weight) AS yield_numerator
    FROM summed
),

rounded AS (
    SELECT
        exact.job_ref,
        exact.completed_on,
        exact.kind,
        exact.material_count,
        sign(exact.usage_worth)
        * ((2 * abs(exact.usage_worth) + 10000000000000) // 20000000000000) AS usage_pence,
        sign(exact.yield_numerator)
        * ((2 * abs(exact.yield_numerator) + exact.denominator) // (2 * exact.denominator))
            AS yield_pence
    FROM exact
)

SELECT
    rounded.job_ref,
    rounded.completed_on,
    rounded.kind,
    rounded.material_count,
    cast((rounded.usage_pence - rounded.yield_pence) * 0.01 AS DECIMAL(12, 2)) AS mix_gbp,
    cast(rounded.yield_pence * 0.01 AS DECIMAL(12, 2)) AS yield_gbp,
    cast(rounded.usage_pence * 0.01 AS DECIMAL(12, 2)) AS usage_gbp
FROM rounded
