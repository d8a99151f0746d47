-- Lines of finished jobs that stay in the books and are set aside from learning, and why.
--
-- Grain:     one row per job_ref, material, gate
-- Reads:     usage.job_quantity, usage.allowed, learn.least_quantity, learn.copied_line,
--            result.slip, ledger.jobs
-- Units:     base units; kg per m2 of the roof as fitted
-- Left out:  jobs that are not finished; lines without a recorded use; a gate whose limit is not
--            known, as of a resin without a lay-up; ten times what was allowed in materials of
--            which a small job opens a whole pack; a use far from all others that another gate
--            explains and no factor does
WITH
line AS (
    SELECT
        quantity.job_ref,
        quantity.material,
        quantity.kind,
        quantity.base_unit,
        quantity.used_quantity,
        allowed.allowed_quantity,
        job.area_m2,
        sum(quantity.used_quantity) OVER (PARTITION BY quantity.job_ref, quantity.kind)
            AS kind_quantity
    FROM usage.job_quantity AS quantity
    INNER JOIN ledger.jobs AS job
        ON quantity.job_ref = job.job_ref AND job.status = 'completed'
    LEFT JOIN usage.allowed AS allowed
        ON quantity.job_ref = allowed.job_ref AND quantity.material = allowed.material
    WHERE quantity.used_quantity IS NOT NULL
),

floored AS (
    SELECT
        line.job_ref,
        line.material,
        line.kind,
        line.base_unit,
        line.used_quantity,
        line.area_m2,
        lowest.least_quantity,
        CASE WHEN line.kind = 'mat' THEN line.used_quantity ELSE line.kind_quantity END
            AS laid_quantity
    FROM line
    INNER JOIN learn.least_quantity AS lowest
        ON line.job_ref = lowest.job_ref AND line.material = lowest.material
),

poured AS (
    SELECT
        line.job_ref,
        sum(line.used_quantity) AS used_kg
    FROM line
    WHERE line.kind IN ('resin', 'topcoat')
    GROUP BY line.job_ref
),

gated AS (
    SELECT
        floored.job_ref,
        floored.material,
        'under-built' AS gate,
        'may be under-built: ' || floored.laid_quantity || ' ' || floored.base_unit
        || ' recorded, a sound roof of ' || floored.area_m2 || ' m2 holds at least '
        || cast(floored.least_quantity AS DECIMAL(18, 1)) || ': look at the roof, check the record'
            AS reason
    FROM floored
    WHERE floored.used_quantity > 0 AND floored.laid_quantity < floored.least_quantity
    UNION ALL
    SELECT
        line.job_ref,
        line.material,
        'unlikely much' AS gate,
        cast(line.kind_quantity / line.area_m2 AS DECIMAL(18, 1))
        || ' kg of resin per m2, more than 6: check the quantity, and for a missing return'
            AS reason
    FROM line
    WHERE line.kind = 'resin' AND line.kind_quantity > 6 * line.area_m2
    UNION ALL
    SELECT
        line.job_ref,
        line.material,
        'nothing used' AS gate,
        'a finished roof with no ' || line.kind || ' used: check what was taken and brought back'
            AS reason
    FROM line
    WHERE line.kind IN ('resin', 'topcoat', 'mat') AND line.used_quantity <= 0
    UNION ALL
    SELECT
        line.job_ref,
        line.material,
        'many times allowed' AS gate,
        'over ten times what was allowed, ' || line.allowed_quantity || ' ' || line.base_unit
        || ': check the unit' AS reason
    FROM line
    ANTI JOIN result.slip AS slip ON line.job_ref = slip.job_ref AND line.material = slip.material
    WHERE
        line.kind IN ('trim', 'mat', 'board')
        AND line.allowed_quantity > 0
        AND line.used_quantity > 10 * line.allowed_quantity
    UNION ALL
    SELECT
        line.job_ref,
        line.material,
        'below nothing' AS gate,
        'more came back or went to the rack than was taken: check the issue and the returns'
            AS reason
    FROM line
    WHERE line.kind NOT IN ('resin', 'topcoat', 'mat') AND line.used_quantity < 0
    UNION ALL
    SELECT
        copied.job_ref,
        copied.material,
        'copied' AS gate,
        CASE
            WHEN copied.is_whole_job THEN 'same as allowed on every line of the job: says nothing'
            ELSE 'to the last digit what was allowed, and not weighed: says nothing'
        END AS reason
    FROM learn.copied_line AS copied
    UNION ALL
    SELECT
        line.job_ref,
        line.material,
        'catalyst share' AS gate,
        cast(100 * line.kind_quantity / poured.used_kg AS DECIMAL(18, 2))
        || ' % of catalyst in resin and topcoat, outside 0.5 to 5: check grams against '
        || 'millilitres, and the product data sheet' AS reason
    FROM line
    INNER JOIN poured ON line.job_ref = poured.job_ref
    WHERE
        line.kind = 'catalyst'
        AND poured.used_kg > 0
        AND (
            line.kind_quantity < 0.005 * poured.used_kg
            OR line.kind_quantity > 0.05 * poured.used_kg
        )
)

SELECT
    gated.job_ref,
    gated.material,
    gated.gate,
    gated.reason
FROM gated
UNION ALL
SELECT
    slip.job_ref,
    slip.material,
    'unit slip' AS gate,
    slip.reason
FROM result.slip AS slip
WHERE
    slip.likely_factor IS NOT NULL
    OR NOT EXISTS (
        SELECT gated.gate
        FROM gated
        WHERE gated.job_ref = slip.job_ref AND gated.material = slip.material
    )
