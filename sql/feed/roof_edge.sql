-- The edges that go round a roof, as quoted and as fitted.
--
-- Grain:     one row per job_ref, stage, edge_no
-- Reads:     ledger.edges, ledger.jobs
-- Units:     mm; an edge with two trims counts once. Where nobody measured the edges of a finished
--            roof, they are as quoted if its area is that of the quote within 5 in 100; else only
--            the longest is given, along which the area measured is laid out
-- Left out:  jobs without edges
WITH
side AS (
    SELECT
        edge.job_ref,
        edge.edge_no,
        max(edge.quoted_mm) AS quoted_mm,
        max(edge.fitted_mm) AS fitted_mm,
        max(edge.upstand_mm) AS upstand_mm
    FROM ledger.edges AS edge
    GROUP BY edge.job_ref, edge.edge_no
),

known AS (
    SELECT
        side.job_ref,
        side.edge_no,
        side.quoted_mm,
        side.upstand_mm,
        coalesce(side.fitted_mm, side.quoted_mm) AS fitted_mm,
        job.as_drawn = 'yes'
        OR bool_or(side.fitted_mm IS NOT NULL) OVER (PARTITION BY side.job_ref)
        OR job.area_m2 BETWEEN 0.95 * job.quoted_area_m2 AND 1.05 * job.quoted_area_m2
            AS is_known,
        row_number() OVER (
            PARTITION BY side.job_ref ORDER BY side.quoted_mm DESC, side.edge_no ASC
        ) AS rank_no
    FROM side
    INNER JOIN ledger.jobs AS job ON side.job_ref = job.job_ref
)

SELECT
    known.job_ref,
    'quoted' AS stage,
    known.edge_no,
    known.quoted_mm AS edge_mm,
    known.upstand_mm
FROM known
UNION ALL
SELECT
    known.job_ref,
    'fitted' AS stage,
    known.edge_no,
    known.fitted_mm AS edge_mm,
    known.upstand_mm
FROM known
WHERE coalesce(known.is_known, FALSE) OR known.rank_no = 1
