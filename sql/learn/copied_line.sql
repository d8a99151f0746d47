-- Lines that repeat what was allowed, so that they say nothing of what was used.
--
-- Grain:     one row per job_ref, material
-- Reads:     usage.job_quantity, usage.allowed, ledger.jobs, ledger.materials
-- Units:     is_whole_job: every line of the job, four or more of them, is the same as allowed
-- Left out:  jobs that are not finished; on other jobs, lines that were weighed or counted, lines
--            of materials that are used in whole pieces, and whole packs: there a line as allowed
--            is nothing out of the way
WITH
line AS (
    SELECT
        quantity.job_ref,
        quantity.material,
        quantity.kind,
        quantity.how,
        coalesce(quantity.used_quantity = allowed.allowed_quantity, FALSE) AS is_same,
        coalesce(quantity.used_quantity % item.pack_size = 0, FALSE) AS is_whole_packs
    FROM usage.job_quantity AS quantity
    INNER JOIN ledger.jobs AS job
        ON quantity.job_ref = job.job_ref AND job.status = 'completed'
    INNER JOIN ledger.materials AS item ON quantity.material = item.material
    LEFT JOIN usage.allowed AS allowed
        ON quantity.job_ref = allowed.job_ref AND quantity.material = allowed.material
    WHERE quantity.used_quantity IS NOT NULL
),

judged AS (
    SELECT
        line.job_ref,
        line.material,
        count(*) OVER (PARTITION BY line.job_ref) >= 4
        AND bool_and(line.is_same) OVER (PARTITION BY line.job_ref) AS is_whole_job,
        line.is_same
        AND line.kind IN ('resin', 'topcoat', 'primer', 'mat')
        AND coalesce(line.how = 'judged', TRUE)
        AND NOT line.is_whole_packs AS is_told_twice
    FROM line
)

SELECT
    judged.job_ref,
    judged.material,
    judged.is_whole_job
FROM judged
WHERE judged.is_whole_job OR judged.is_told_twice
