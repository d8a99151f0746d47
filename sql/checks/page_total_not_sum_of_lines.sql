-- A printed total that is not the sum of the rounded lines below it.
--
-- Severity:  stop
-- Grain:     one row per total at fault
-- Reads:     page.left_by_month, page.left_by_job_type, page.allowed_and_used, margin.job,
--            comparison.use_by_job, comparison.taken_lately, usage.calendar
-- Units:     GBP
-- Left out:  nothing
WITH
job_line AS (
    SELECT
        job.job_ref,
        job.completed_on,
        sum(line.cost_gbp) + coalesce(job.vat_gbp, 0) + coalesce(job.put_right_gbp, 0) AS cost_gbp
    FROM margin.job AS job
    INNER JOIN comparison.use_by_job AS line ON job.job_ref = line.job_ref
    WHERE job.left_gbp IS NOT NULL AND job.price_gbp > 0
    GROUP BY job.job_ref, job.completed_on, job.vat_gbp, job.put_right_gbp
),

total AS (
    SELECT
        'materials by month' AS printed,
        coalesce((SELECT sum(monthly.materials_gbp) FROM page.left_by_month AS monthly), 0)
            AS printed_gbp,
        coalesce(
            sum(job_line.cost_gbp) FILTER (
                WHERE job_line.completed_on
                BETWEEN calendar.two_years_from_on AND calendar.month_end_on
            ),
            0
        ) AS lines_gbp
    FROM usage.calendar AS calendar
    LEFT JOIN job_line ON calendar.as_of >= job_line.completed_on
    UNION ALL
    SELECT
        'materials by job type' AS printed,
        coalesce((SELECT sum(typed.materials_gbp) FROM page.left_by_job_type AS typed), 0)
            AS printed_gbp,
        coalesce(
            sum(job_line.cost_gbp) FILTER (
                WHERE job_line.completed_on
                BETWEEN calendar.lately_from_on AND calendar.month_end_on
            ),
            0
        ) AS lines_gbp
    FROM usage.calendar AS calendar
    LEFT JOIN job_line ON calendar.as_of >= job_line.completed_on
    UNION ALL
    SELECT
        'more or less than allowed' AS printed,
        coalesce((SELECT sum(material.difference_gbp) FROM page.allowed_and_used AS material), 0)
            AS printed_gbp,
        coalesce(sum(line.difference_gbp), 0) AS lines_gbp
    FROM comparison.taken_lately AS line
)

SELECT
    total.printed || ': £' || total.printed_gbp || ' printed, its lines come to £'
    || total.lines_gbp AS fault
FROM total
WHERE total.printed_gbp != total.lines_gbp
ORDER BY total.printed
