-- Lines of a job whose parts do not sum to what its material cost beyond the quote.
--
-- Severity:  stop
-- Grain:     one row per job_ref, material
-- Reads:     comparison.margin_part
-- Units:     GBP; total = cost by lots - quoted quantity at the price on the day of the quote
-- Left out:  lines of which no part is known
SELECT
    line.job_ref,
    line.material,
    any_value(line.cost_gbp - line.quoted_gbp) AS total_gbp,
    sum(line.part_gbp) AS parts_gbp,
    'job ' || line.job_ref || ', ' || line.material || ': the parts of its margin sum to '
    || sum(line.part_gbp) || ', not to '
    || any_value(line.cost_gbp - line.quoted_gbp) AS fault
FROM comparison.margin_part AS line
WHERE line.why_none IS NULL
GROUP BY line.job_ref, line.material
HAVING sum(line.part_gbp) IS DISTINCT FROM any_value(line.cost_gbp - line.quoted_gbp)
ORDER BY line.job_ref, line.material
