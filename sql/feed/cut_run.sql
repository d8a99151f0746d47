-- The runs that the plans of a job's trims and battens are made from, and the rules they keep.
--
-- Grain:     one row per job_ref, material, stage, edge_no
-- Reads:     usage.edge_run, usage.net_quantity, ledger.materials, setting.cutting
-- Units:     mm. Battens meet end to end wherever that saves: a join of theirs costs nothing, and a
--            rest is kept only where the firm says from which length. A batten that no edge names
--            is one run of all that the roof needs of it, as edge 0
-- Left out:  firrings; a stage of a material of which no run is known
WITH
staged AS (
    SELECT
        side.job_ref,
        side.material,
        side.kind,
        'quoted' AS stage,
        side.edge_no,
        side.quoted_run_mm AS run_mm
    FROM usage.edge_run AS side
    WHERE side.kind IN ('trim', 'batten')
    UNION ALL
    SELECT
        side.job_ref,
        side.material,
        side.kind,
        'fitted' AS stage,
        side.edge_no,
        side.fitted_run_mm AS run_mm
    FROM usage.edge_run AS side
    WHERE side.kind IN ('trim', 'batten')
    UNION ALL
    SELECT
        net.job_ref,
        net.material,
        net.kind,
        'quoted' AS stage,
        0 AS edge_no,
        cast(1000 * net.quoted_net_quantity AS BIGINT) AS run_mm
    FROM usage.net_quantity AS net
    ANTI JOIN usage.edge_run AS side
        ON net.job_ref = side.job_ref AND net.material = side.material
    WHERE net.kind = 'batten' AND net.quoted_net_quantity > 0
    UNION ALL
    SELECT
        net.job_ref,
        net.material,
        net.kind,
        'fitted' AS stage,
        0 AS edge_no,
        cast(1000 * net.fitted_net_quantity AS BIGINT) AS run_mm
    FROM usage.net_quantity AS net
    ANTI JOIN usage.edge_run AS side
        ON net.job_ref = side.job_ref AND net.material = side.material
    WHERE net.kind = 'batten' AND net.fitted_net_quantity > 0
)

SELECT
    staged.job_ref,
    staged.material,
    staged.kind,
    staged.stage,
    staged.edge_no,
    staged.run_mm,
    item.stock_length_mm,
    CASE staged.kind WHEN 'batten' THEN coalesce(item.lap_mm, 0) ELSE item.lap_mm END AS lap_mm,
    coalesce(item.kerf_mm, 0) AS kerf_mm,
    coalesce(item.keep_from_mm, item.stock_length_mm + 1) AS keep_from_mm,
    coalesce(item.least_piece_mm, 0) AS least_piece_mm,
    CASE staged.kind WHEN 'batten' THEN 'priced' ELSE firm.joint_rule END AS joint_rule,
    CASE staged.kind WHEN 'batten' THEN 0 ELSE firm.joint_price_mm END AS joint_price_mm
FROM staged
INNER JOIN ledger.materials AS item ON staged.material = item.material
CROSS JOIN setting.cutting AS firm
QUALIFY bool_or(staged.run_mm IS NOT NULL) OVER (
    PARTITION BY staged.job_ref, staged.material, staged.stage
)
