-- Where the material beyond the quotes went on the jobs finished lately, part by part.
--
-- Grain:     one row per part
-- Reads:     comparison.margin_part, margin.job, usage.calendar
-- Units:     GBP, above 0 cost more than quoted; known_count: lines of which the part is known, of
--            line_count lines of job and material; cost and quote are of all lines. charged: the
--            extras of those jobs, beside what a bigger or different roof cost, blank elsewhere
-- Left out:  lines of which no part is known
WITH
part AS (
    SELECT
        line.job_ref,
        line.part_no,
        line.part,
        line.part_gbp,
        line.cost_gbp,
        line.quoted_gbp
    FROM comparison.margin_part AS line
    INNER JOIN usage.calendar AS calendar
        ON line.completed_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
    WHERE line.why_none IS NULL
),

charged AS (
    SELECT coalesce(sum(job.extras_gbp), 0) AS charged_gbp
    FROM margin.job AS job
    SEMI JOIN part ON job.job_ref = part.job_ref
)

SELECT
    part.part_no,
    part.part,
    cast(coalesce(sum(part.part_gbp), 0) AS DECIMAL(12, 2)) AS part_gbp,
    cast(sum(part.cost_gbp) AS DECIMAL(12, 2)) AS cost_gbp,
    cast(sum(part.quoted_gbp) AS DECIMAL(12, 2)) AS quoted_gbp,
    cast(
        CASE WHEN part.part_no = 3 THEN any_value(charged.charged_gbp) END AS DECIMAL(12, 2)
    ) AS charged_gbp,
    count(part.part_gbp) AS known_count,
    count(*) AS line_count,
    count(DISTINCT part.job_ref) AS job_count
FROM part
CROSS JOIN charged
GROUP BY part.part_no, part.part
ORDER BY part.part_no
