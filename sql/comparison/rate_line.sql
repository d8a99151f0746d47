-- The lines that a rate of use may be taken over, with what the rate is taken per.
--
-- Grain:     one row per job_ref, material
-- Reads:     comparison.use_by_job, learn.held_back, learn.base_quantity
-- Units:     size: m2 of roof for liquids, mat and board, tens of metres of bare need for trim and
--            batten; rate_label says which
-- Left out:  lines held back, without a use or a size, and kinds that are in neither group
WITH
sized AS (
    SELECT
        line.job_ref,
        line.material,
        CASE
            WHEN line.kind IN ('resin', 'topcoat', 'mat', 'board') THEN line.area_m2
            WHEN line.kind IN ('trim', 'batten', 'firring') THEN line.fitted_net_quantity / 10
        END AS size,
        CASE
            WHEN line.kind IN ('resin', 'topcoat') THEN 'kg per m²'
            WHEN line.kind IN ('mat', 'board') THEN 'm² per m² of roof'
            ELSE 'm per 10 m needed'
        END AS rate_label
    FROM comparison.use_by_job AS line
)

SELECT
    line.job_ref,
    line.job_type,
    line.completed_on,
    line.month_on,
    line.material,
    line.kind,
    line.base_unit,
    line.area_m2,
    line.allowed_quantity,
    line.used_quantity,
    base.base_quantity,
    base.best_quantity,
    base.no_reuse_quantity,
    sized.size,
    sized.rate_label
FROM comparison.use_by_job AS line
INNER JOIN sized ON line.job_ref = sized.job_ref AND line.material = sized.material
LEFT JOIN learn.base_quantity AS base
    ON line.job_ref = base.job_ref AND line.material = base.material AND base.stage = 'fitted'
ANTI JOIN learn.held_back AS held
    ON line.job_ref = held.job_ref AND line.material = held.material
WHERE line.used_quantity IS NOT NULL AND sized.size > 0
