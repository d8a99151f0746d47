-- Where the material beyond the quotes went on the jobs finished lately, part by part.
--
-- Grain:     one row per part
-- Reads:     comparison.margin_part, usage.calendar
-- Units:     GBP, above 0 cost more than quoted; known_count: lines of which the part is known, of
--            line_count lines of job and material; cost and quote are of all lines
-- Left out:  lines of which no part is known
SELECT
    part.part_no,
    part.part,
    cast(coalesce(sum(part.part_gbp), 0) AS DECIMAL(12, 2)) AS part_gbp,
    cast(sum(part.cost_gbp) AS DECIMAL(12, 2)) AS cost_gbp,
    cast(sum(part.quoted_gbp) AS DECIMAL(12, 2)) AS quoted_gbp,
    count(part.part_gbp) AS known_count,
    count(*) AS line_count,
    count(DISTINCT part.job_ref) AS job_count
FROM comparison.margin_part AS part
INNER JOIN usage.calendar AS calendar
    ON part.completed_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
WHERE part.why_none IS NULL
GROUP BY part.part_no, part.part
ORDER BY part.part_no
