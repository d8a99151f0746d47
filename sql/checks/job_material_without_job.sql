-- A material booked to a job or a material name that is not on record.
--
-- Severity:  stop
-- Grain:     one row per job_ref, material, entry at fault
-- Reads:     ledger.job_materials, ledger.jobs, ledger.materials
-- Units:     none
-- Left out:  nothing
SELECT
    card.material || ' on job ' || card.job_ref
    || CASE WHEN job.job_ref IS NULL THEN ': no such job' ELSE ': no such material' END AS fault
FROM ledger.job_materials AS card
LEFT JOIN ledger.jobs AS job ON card.job_ref = job.job_ref
LEFT JOIN ledger.materials AS item ON card.material = item.material
WHERE job.job_ref IS NULL OR item.material IS NULL
ORDER BY card.job_ref, card.material, card.entry
