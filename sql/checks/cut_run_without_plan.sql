-- A trim or batten of a job whose runs are known and of which a plan is missing.
--
-- Severity:  stop
-- Grain:     one row per job_ref, material, stage at fault
-- Reads:     feed.cut_run, result.cut_job
-- Units:     none
-- Left out:  plans that could not be made: they stand in result.cut_job with their problem
WITH
wanted AS (
    SELECT DISTINCT
        run.job_ref,
        run.material,
        run.stage
    FROM feed.cut_run AS run
)

SELECT
    'job ' || wanted.job_ref || ' ' || wanted.material || ' as ' || wanted.stage || ': '
    || count(DISTINCT job.plan) || ' of 2 plans' AS fault
FROM wanted
LEFT JOIN result.cut_job AS job
    ON
        wanted.job_ref = job.job_ref
        AND wanted.material = job.material
        AND wanted.stage = job.stage
        AND job.plan IN ('best', 'no re-use')
GROUP BY wanted.job_ref, wanted.material, wanted.stage
HAVING count(DISTINCT job.plan) != 2
ORDER BY wanted.job_ref, wanted.material, wanted.stage
