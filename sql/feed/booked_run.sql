-- The runs of trim of the booked jobs, in the order of their days.
--
-- Grain:     one row per job_ref, material, edge_no
-- Reads:     feed.cut_run, ledger.jobs
-- Units:     mm, as quoted
-- Left out:  battens; jobs that are not booked
SELECT
    run.job_ref,
    job.planned_on,
    run.material,
    run.kind,
    run.stage,
    run.edge_no,
    run.run_mm,
    run.stock_length_mm,
    run.lap_mm,
    run.kerf_mm,
    run.keep_from_mm,
    run.least_piece_mm,
    run.joint_rule,
    run.joint_price_mm
FROM feed.cut_run AS run
INNER JOIN ledger.jobs AS job ON run.job_ref = job.job_ref
WHERE job.status = 'booked' AND run.stage = 'quoted' AND run.kind = 'trim'
