-- A job that was finished before the day of its quote, as two files tell it together.
--
-- Severity:  warn
-- Grain:     one row per job_ref at fault
-- Reads:     ledger.jobs
-- Units:     dates
-- Left out:  nothing
SELECT
    'job ' || job.job_ref || ' was finished on ' || job.completed_on || ', before its quote of '
    || job.quoted_on || ': one of the two dates is wrong' AS fault
FROM ledger.jobs AS job
WHERE job.completed_on < job.quoted_on
ORDER BY job.job_ref
