-- A job that brought back or racked more of a material than it took.
--
-- Severity:  warn
-- Grain:     one row per job_ref, material at fault
-- Reads:     usage.job_quantity
-- Units:     base units
-- Left out:  lines without an issue
SELECT
    quantity.material || ' on job ' || quantity.job_ref || ': ' || quantity.used_quantity || ' '
    || quantity.base_unit || ' used, as more came back than went out' AS fault
FROM usage.job_quantity AS quantity
WHERE quantity.used_quantity < 0
ORDER BY quantity.job_ref, quantity.material
