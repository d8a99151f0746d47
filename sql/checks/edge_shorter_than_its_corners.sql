-- An edge that its own corner pieces cover whole.
--
-- Severity:  warn
-- Grain:     one row per job_ref, edge_no, material at fault
-- Reads:     usage.edge_run
-- Units:     mm
-- Left out:  nothing
SELECT
    'job ' || side.job_ref || ' edge ' || side.edge_no || ': ' || side.quoted_edge_mm
    || ' mm of ' || side.material || ' are covered by corner pieces alone' AS fault
FROM usage.edge_run AS side
WHERE least(side.quoted_run_mm, coalesce(side.fitted_run_mm, side.quoted_run_mm)) <= 0
ORDER BY side.job_ref, side.edge_no, side.material
