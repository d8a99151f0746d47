-- What the edges of a job need of each trim, batten and corner piece, with no waste and no laps.
--
-- Grain:     one row per job_ref, material
-- Reads:     usage.edge_run, ledger.materials
-- Units:     base units: m of run, or corner pieces. Two neighbouring ends make one corner piece
-- Left out:  the fitted need where one edge's fitted length is not known
WITH
run AS (
    SELECT
        side.job_ref,
        side.material,
        cast(cast(sum(side.quoted_run_mm) AS DECIMAL(18, 3)) / 1000 AS DECIMAL(18, 3))
            AS quoted_net_quantity,
        CASE
            WHEN bool_and(side.fitted_run_mm IS NOT NULL)
                THEN cast(cast(sum(side.fitted_run_mm) AS DECIMAL(18, 3)) / 1000 AS DECIMAL(18, 3))
        END AS fitted_net_quantity
    FROM usage.edge_run AS side
    GROUP BY side.job_ref, side.material
),

corner AS (
    SELECT
        side.job_ref,
        side.corner_piece AS material,
        cast((sum(side.corner_end_count) + 1) // 2 AS DECIMAL(18, 3)) AS quoted_net_quantity,
        CASE
            WHEN bool_and(side.fitted_run_mm IS NOT NULL)
                THEN cast((sum(side.corner_end_count) + 1) // 2 AS DECIMAL(18, 3))
        END AS fitted_net_quantity
    FROM usage.edge_run AS side
    WHERE side.corner_end_count > 0
    GROUP BY side.job_ref, side.corner_piece
)

SELECT
    run.job_ref,
    run.material,
    run.quoted_net_quantity,
    run.fitted_net_quantity
FROM run
UNION ALL
SELECT
    corner.job_ref,
    corner.material,
    corner.quoted_net_quantity,
    corner.fitted_net_quantity
FROM corner
INNER JOIN ledger.materials AS item ON corner.material = item.material
