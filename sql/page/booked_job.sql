-- The jobs that are booked, in the order of their days.
--
-- Grain:     one row per job_ref
-- Reads:     ledger.jobs
-- Units:     m2
-- Left out:  quotes without a booking
SELECT
    job.job_ref,
    job.job_type,
    job.planned_on,
    job.area_m2
FROM ledger.jobs AS job
WHERE job.status = 'booked'
ORDER BY job.planned_on ASC NULLS LAST, job.job_ref ASC
