-- What trim to load for each booked job: new lengths, and pieces of the rack.
--
-- Grain:     one row per job_ref, material
-- Reads:     result.cut_load, ledger.jobs
-- Units:     mm; in the order of the days, a rack piece goes to the first job that it serves
--            where no plan could be made the figures are blank and problem says why
-- Left out:  jobs that are not booked
SELECT
    planned.job_ref,
    job.job_type,
    planned.planned_on,
    planned.material,
    planned.lengths_count,
    planned.rack_count,
    planned.rack_pieces_mm,
    planned.net_mm,
    planned.gap_mm,
    planned.problem
FROM result.cut_load AS planned
INNER JOIN ledger.jobs AS job ON planned.job_ref = job.job_ref
ORDER BY planned.planned_on ASC NULLS LAST, planned.job_ref ASC, planned.material ASC
