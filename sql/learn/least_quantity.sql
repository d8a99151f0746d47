-- The least of resin, mat and topcoat that a sound roof of a job's size and lay-up holds.
--
-- Grain:     one row per job_ref, material
-- Reads:     usage.job_material, ledger.jobs, ledger.materials, setting.lay_up
-- Units:     base units. Resin: what the laminate holds; mat: its layers, less 2 in 100 for
--            measuring; topcoat: 80 in 100 of a coverage that has no loss inside
-- Left out:  materials of which the lay-up, the area or a net coverage is not known
WITH
rated AS (
    SELECT
        named.job_ref,
        named.material,
        named.kind,
        job.area_m2,
        CASE named.kind
            WHEN 'resin' THEN laminate.resin_kg_per_m2
            WHEN 'mat' THEN 0.98 * named.layer_count
            WHEN 'topcoat' THEN
                CASE WHEN item.coverage_basis = 'net' THEN 0.8 * item.coverage_per_m2 END
        END AS least_per_m2
    FROM usage.job_material AS named
    INNER JOIN ledger.jobs AS job ON named.job_ref = job.job_ref
    INNER JOIN ledger.materials AS item ON named.material = item.material
    LEFT JOIN setting.lay_up AS laminate ON job.lay_up = laminate.lay_up
)

SELECT
    rated.job_ref,
    rated.material,
    rated.kind,
    rated.least_per_m2,
    cast(rated.least_per_m2 * rated.area_m2 AS DECIMAL(18, 3)) AS least_quantity
FROM rated
WHERE rated.least_per_m2 IS NOT NULL AND rated.area_m2 IS NOT NULL
