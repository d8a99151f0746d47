-- How far each trim, batten or firring runs along its edge, as quoted and as fitted.
--
-- Grain:     one row per job_ref, edge_no, material
-- Reads:     ledger.edges, ledger.jobs, ledger.materials
-- Units:     mm; edge = the whole edge, run = the edge less what its corner pieces cover
-- Left out:  materials that are not sold by length; the fitted edge where nothing says it: the
--            card gives no fitted length of any edge, and does not say that all was as drawn
WITH
side AS (
    SELECT
        edge.job_ref,
        edge.edge_no,
        edge.material,
        item.kind,
        edge.quoted_mm AS quoted_edge_mm,
        item.corner_piece,
        CASE
            WHEN edge.fitted_mm IS NOT NULL THEN edge.fitted_mm
            WHEN
                job.as_drawn = 'yes'
                OR bool_or(edge.fitted_mm IS NOT NULL) OVER (PARTITION BY edge.job_ref)
                THEN edge.quoted_mm
        END AS fitted_edge_mm,
        CASE WHEN edge.start_end = 'corner piece' THEN 1 ELSE 0 END
        + CASE WHEN edge.finish_end = 'corner piece' THEN 1 ELSE 0 END AS corner_end_count,
        coalesce(item.corner_cover_mm, 0) AS corner_cover_mm
    FROM ledger.edges AS edge
    INNER JOIN ledger.jobs AS job ON edge.job_ref = job.job_ref
    INNER JOIN ledger.materials AS item ON edge.material = item.material
    WHERE item.base_unit = 'm'
)

SELECT
    side.job_ref,
    side.edge_no,
    side.material,
    side.kind,
    side.quoted_edge_mm,
    side.fitted_edge_mm,
    side.corner_piece,
    side.corner_end_count,
    side.quoted_edge_mm - side.corner_end_count * side.corner_cover_mm AS quoted_run_mm,
    side.fitted_edge_mm - side.corner_end_count * side.corner_cover_mm AS fitted_run_mm
FROM side
