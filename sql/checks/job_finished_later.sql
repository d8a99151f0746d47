-- A job that was finished after the day that the run stands for.
--
-- Severity:  warn
-- Grain:     one row per job_ref at fault
-- Reads:     ledger.jobs, setting.firm
-- Units:     dates
-- Left out:  nothing
SELECT
    'job ' || job.job_ref || ' was finished on ' || job.completed_on || ', after ' || firm.as_of
    || ': it is in no figure yet' AS fault
FROM ledger.jobs AS job
INNER JOIN setting.firm AS firm ON job.completed_on > firm.as_of
ORDER BY job.job_ref
