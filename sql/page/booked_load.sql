-- What trim to load for each booked job: new lengths, and pieces of the rack.
--
-- Grain:     one row per job_ref, material
-- Reads:     result.cut_load, ledger.jobs
-- Units:     mm; in the order of the days, a rack piece goes to the first job that it serves
-- Left out:  trims of which no plan could be made
SELECT
    load.job_ref,
    job.job_type,
    load.planned_on,
    load.material,
    load.lengths_count,
    load.rack_count,
    load.rack_pieces_mm,
    load.net_mm,
    load.gap_mm
FROM result.cut_load AS load
INNER JOIN ledger.jobs AS job ON load.job_ref = job.job_ref
WHERE load.problem IS NULL
ORDER BY load.planned_on ASC NULLS LAST, load.job_ref ASC, load.material ASC
