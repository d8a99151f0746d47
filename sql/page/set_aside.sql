-- Lines that stay in the books and are set aside from learning, with the reason; roofs that may
-- be under-built first, then the newest.
--
-- Grain:     one row per job_ref, material, gate
-- Reads:     learn.held_back, usage.job_quantity, ledger.jobs
-- Units:     base units; square metres in the reason as people write them
-- Left out:  nothing
SELECT
    held.job_ref,
    job.job_type,
    job.completed_on,
    held.material,
    quantity.used_quantity,
    quantity.base_unit,
    replace(held.reason, 'm2', 'm²') AS reason
FROM learn.held_back AS held
INNER JOIN ledger.jobs AS job ON held.job_ref = job.job_ref
INNER JOIN usage.job_quantity AS quantity
    ON held.job_ref = quantity.job_ref AND held.material = quantity.material
ORDER BY
    held.gate = 'under-built' DESC,
    job.completed_on DESC,
    held.job_ref ASC,
    held.material ASC,
    held.gate ASC
