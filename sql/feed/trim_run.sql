-- The runs that the best plan of a job's trims is made from.
--
-- Grain:     one row per job_ref, material, stage, edge_no
-- Reads:     usage.edge_run, ledger.materials
-- Units:     mm
-- Left out:  battens and firrings; a stage of a trim of which no run is known
WITH
staged AS (
    SELECT
        side.job_ref,
        side.material,
        'quoted' AS stage,
        side.edge_no,
        side.quoted_run_mm AS run_mm
    FROM usage.edge_run AS side
    WHERE side.kind = 'trim'
    UNION ALL
    SELECT
        side.job_ref,
        side.material,
        'fitted' AS stage,
        side.edge_no,
        side.fitted_run_mm AS run_mm
    FROM usage.edge_run AS side
    WHERE side.kind = 'trim'
)

SELECT
    staged.job_ref,
    staged.material,
    staged.stage,
    staged.edge_no,
    staged.run_mm,
    item.stock_length_mm,
    item.lap_mm,
    item.kerf_mm,
    item.keep_from_mm
FROM staged
INNER JOIN ledger.materials AS item ON staged.material = item.material
QUALIFY bool_or(staged.run_mm IS NOT NULL) OVER (
    PARTITION BY staged.job_ref, staged.material, staged.stage
)
