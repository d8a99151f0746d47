-- The boards and mats that a roof is covered with, and the rules that their layout keeps.
--
-- Grain:     one row per job_ref, material, stage
-- Reads:     usage.net_quantity, usage.job_material, ledger.jobs, ledger.materials, setting.cutting
-- Units:     net_quantity in m2: of board the area decked, of mat all layers; sizes in mm
-- Left out:  a stage of which the need or the area is not known
WITH
staged AS (
    SELECT
        net.job_ref,
        net.material,
        net.kind,
        'quoted' AS stage,
        net.quoted_net_quantity AS net_quantity,
        job.quoted_area_m2 AS area_m2
    FROM usage.net_quantity AS net
    INNER JOIN ledger.jobs AS job ON net.job_ref = job.job_ref
    WHERE net.kind IN ('board', 'mat')
    UNION ALL
    SELECT
        net.job_ref,
        net.material,
        net.kind,
        'fitted' AS stage,
        net.fitted_net_quantity AS net_quantity,
        job.area_m2
    FROM usage.net_quantity AS net
    INNER JOIN ledger.jobs AS job ON net.job_ref = job.job_ref
    WHERE net.kind IN ('board', 'mat')
)

SELECT
    staged.job_ref,
    staged.material,
    staged.kind,
    staged.stage,
    staged.net_quantity,
    staged.area_m2,
    named.layer_count,
    item.length_mm,
    item.width_mm,
    item.cover_width_mm,
    item.lap_mm,
    item.keep_from_mm,
    firm.joist_mm,
    firm.stagger_mm,
    firm.reuse_from_mm
FROM staged
INNER JOIN usage.job_material AS named
    ON staged.job_ref = named.job_ref AND staged.material = named.material
INNER JOIN ledger.materials AS item ON staged.material = item.material
CROSS JOIN setting.cutting AS firm
WHERE staged.net_quantity IS NOT NULL AND staged.area_m2 IS NOT NULL
