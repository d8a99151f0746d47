-- How many metres of a job's edges carry a trim.
--
-- Grain:     one row per job_ref
-- Reads:     usage.edge_run
-- Units:     m of whole edge; an edge with two trims counts once
-- Left out:  jobs without edges; the fitted metres where one edge's fitted length is not known
WITH
edge AS (
    SELECT
        side.job_ref,
        side.edge_no,
        max(side.quoted_edge_mm) AS quoted_edge_mm,
        max(side.fitted_edge_mm) AS fitted_edge_mm
    FROM usage.edge_run AS side
    WHERE side.kind = 'trim'
    GROUP BY side.job_ref, side.edge_no
)

SELECT
    edge.job_ref,
    cast(cast(sum(edge.quoted_edge_mm) AS DECIMAL(18, 3)) / 1000 AS DECIMAL(18, 3))
        AS quoted_trimmed_m,
    CASE
        WHEN bool_and(edge.fitted_edge_mm IS NOT NULL)
            THEN cast(cast(sum(edge.fitted_edge_mm) AS DECIMAL(18, 3)) / 1000 AS DECIMAL(18, 3))
    END AS fitted_trimmed_m
FROM edge
GROUP BY edge.job_ref
