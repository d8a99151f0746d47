-- The allowance that stands for a material on a job type: as decided, else as the quotes said.
--
-- Grain:     one row per material, job_type of the settings
-- Reads:     usage.allowed, usage.calendar, learn.base_quantity, ledger.decisions, ledger.jobs,
--            ledger.materials, setting.job_type
-- Units:     fixed_loss in base units on any job, ratios over base, which blend_ratio makes from
--            the two plans of what is cut; blank: learn.base_quantity as it is. Decided: the newest
--            decision up to the day of the run, for the job type or for all; on one day the type's
--            own. As quoted: what the quotes of 24 months allowed over what they were allowed on,
--            less one, to the six digits that a decision keeps, all job types where the type has
--            none
-- Left out:  materials that no decision and no quote speaks of; quotes whose base is not known from
--            the roof as quoted, nor from the roof as fitted
WITH
quoted AS (
    SELECT
        job.job_type,
        allowed.material,
        sum(allowed.allowed_quantity) AS allowed_quantity,
        sum(coalesce(drawn.base_quantity, fitted.base_quantity)) AS base_quantity
    FROM usage.allowed AS allowed
    INNER JOIN ledger.jobs AS job ON allowed.job_ref = job.job_ref
    INNER JOIN usage.calendar AS calendar
        ON
            coalesce(job.quoted_on, job.planned_on, job.completed_on)
            BETWEEN calendar.two_years_from_on AND calendar.as_of
    LEFT JOIN learn.base_quantity AS drawn
        ON
            allowed.job_ref = drawn.job_ref
            AND allowed.material = drawn.material
            AND drawn.stage = 'quoted'
    LEFT JOIN learn.base_quantity AS fitted
        ON
            allowed.job_ref = fitted.job_ref
            AND allowed.material = fitted.material
            AND fitted.stage = 'fitted'
    WHERE
        allowed.allowed_quantity > 0
        AND coalesce(drawn.base_quantity, fitted.base_quantity) > 0
    GROUP BY job.job_type, allowed.material
),

quoted_of_all AS (
    SELECT
        quoted.material,
        sum(quoted.allowed_quantity) / sum(quoted.base_quantity) - 1 AS quoted_ratio
    FROM quoted
    GROUP BY quoted.material
),

decided AS (
    SELECT
        decision.material,
        kind.job_type,
        decision.decided_on,
        decision.fixed_loss,
        decision.price_ratio,
        decision.load_ratio,
        decision.blend_ratio,
        decision.piece_shift,
        decision.decided_by,
        decision.reason
    FROM ledger.decisions AS decision
    INNER JOIN usage.calendar AS calendar ON decision.decided_on <= calendar.as_of
    INNER JOIN setting.job_type AS kind
        ON decision.job_type = 'all' OR decision.job_type = kind.job_type
    QUALIFY
        row_number() OVER (
            PARTITION BY decision.material, kind.job_type
            ORDER BY decision.decided_on DESC, (decision.job_type = kind.job_type) DESC
        ) = 1
)

SELECT
    item.material,
    kind.job_type,
    item.base_unit,
    decided.decided_on AS in_force_from,
    decided.decided_by,
    decided.reason,
    cast(decided.blend_ratio AS DOUBLE) AS blend_ratio,
    cast(decided.piece_shift AS DOUBLE) AS piece_shift,
    CASE WHEN decided.decided_on IS NULL THEN 'as quoted' ELSE 'decided' END AS how,
    coalesce(cast(decided.fixed_loss AS DOUBLE), 0) AS fixed_loss,
    coalesce(
        cast(decided.price_ratio AS DOUBLE),
        round(
            coalesce(
                quoted.allowed_quantity / quoted.base_quantity - 1, quoted_of_all.quoted_ratio
            ),
            6
        )
    ) AS price_ratio,
    coalesce(
        cast(decided.load_ratio AS DOUBLE),
        round(
            coalesce(
                quoted.allowed_quantity / quoted.base_quantity - 1, quoted_of_all.quoted_ratio
            ),
            6
        )
    ) AS load_ratio
FROM ledger.materials AS item
CROSS JOIN setting.job_type AS kind
LEFT JOIN decided ON item.material = decided.material AND kind.job_type = decided.job_type
LEFT JOIN quoted ON item.material = quoted.material AND kind.job_type = quoted.job_type
LEFT JOIN quoted_of_all ON item.material = quoted_of_all.material
WHERE decided.decided_on IS NOT NULL OR quoted_of_all.quoted_ratio IS NOT NULL
