-- What each job was allowed of each material: as its quote says, else by the firm's own rule.
--
-- Grain:     one row per job_ref, material
-- Reads:     usage.net_quantity, usage.job_quantity, usage.trimmed_edge, ledger.jobs, setting.allow
-- Units:     base units, from the roof as quoted, or as fitted where the quote's size is not known
-- Left out:  rules that start after the quote, or after the job where the quote has no day; a rule
--            that counts on an area, an edge or a need that is not known
WITH
job AS (
    SELECT
        roof.job_ref,
        coalesce(roof.quoted_on, roof.planned_on, roof.completed_on) AS allowed_on,
        coalesce(roof.quoted_area_m2, roof.area_m2) AS area_m2,
        coalesce(edge.quoted_trimmed_m, edge.fitted_trimmed_m) AS trimmed_m
    FROM ledger.jobs AS roof
    LEFT JOIN usage.trimmed_edge AS edge ON roof.job_ref = edge.job_ref
),

ruled AS (
    SELECT
        need.job_ref,
        need.material,
        CASE WHEN rule_in_force.per_m2 IS NULL THEN 0 ELSE rule_in_force.per_m2 * job.area_m2 END
        + CASE WHEN rule_in_force.per_m IS NULL THEN 0 ELSE rule_in_force.per_m * job.trimmed_m END
        + coalesce(rule_in_force.per_job, 0)
        + CASE
            WHEN rule_in_force.ratio_on_net IS NULL THEN 0
            ELSE
                (1 + rule_in_force.ratio_on_net)
                * coalesce(need.quoted_net_quantity, need.fitted_net_quantity)
        END AS quantity
    FROM usage.net_quantity AS need
    INNER JOIN job ON need.job_ref = job.job_ref
    INNER JOIN setting.allow AS rule_in_force
        ON need.material = rule_in_force.material AND job.allowed_on >= rule_in_force.from_on
    WHERE
        coalesce(
            rule_in_force.per_m2,
            rule_in_force.per_m,
            rule_in_force.per_job,
            rule_in_force.ratio_on_net
        ) IS NOT NULL
    QUALIFY
        row_number() OVER (
            PARTITION BY need.job_ref, need.material ORDER BY rule_in_force.from_on DESC
        ) = 1
)

SELECT
    need.job_ref,
    need.material,
    need.kind,
    need.base_unit,
    cast(coalesce(card.estimated_quantity, ruled.quantity) AS DECIMAL(18, 3)) AS allowed_quantity,
    CASE
        WHEN card.estimated_quantity IS NOT NULL THEN 'typed'
        WHEN ruled.quantity IS NOT NULL THEN 'rule'
    END AS how
FROM usage.net_quantity AS need
LEFT JOIN usage.job_quantity AS card
    ON need.job_ref = card.job_ref AND need.material = card.material
LEFT JOIN ruled ON need.job_ref = ruled.job_ref AND need.material = ruled.material
