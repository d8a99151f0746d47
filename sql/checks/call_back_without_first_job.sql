-- A call-back that names no first job, or another call-back.
--
-- Severity:  warn
-- Grain:     one row per call-back at fault
-- Reads:     ledger.jobs
-- Units:     none
-- Left out:  call-backs of jobs that are not finished yet
SELECT
    job.job_ref || ' puts right ' || job.remedial_of
    || CASE
        WHEN first_job.job_ref IS NULL THEN ', which is no job on record'
        WHEN first_job.job_ref = job.job_ref THEN ', which is the job itself'
        ELSE ', which is a call-back: name the first job'
    END AS fault
FROM ledger.jobs AS job
LEFT JOIN ledger.jobs AS first_job ON job.remedial_of = first_job.job_ref
WHERE
    job.remedial_of IS NOT NULL
    AND (
        first_job.job_ref IS NULL
        OR first_job.remedial_of IS NOT NULL
    )
ORDER BY job.job_ref
