-- A job whose lay-up the settings do not describe, so that no resin or mat can be worked out.
--
-- Severity:  warn
-- Grain:     one row per lay_up at fault
-- Reads:     ledger.jobs, setting.lay_up
-- Units:     counts of jobs
-- Left out:  jobs without a lay-up
SELECT
    'lay-up "' || job.lay_up || '" of ' || count(*)
    || ' jobs is not in the settings: its resin and mat cannot be worked out' AS fault
FROM ledger.jobs AS job
ANTI JOIN setting.lay_up AS known ON job.lay_up = known.lay_up
WHERE job.lay_up IS NOT NULL
GROUP BY job.lay_up
ORDER BY job.lay_up
