-- How many of the jobs finished lately bring each record, and what the record answers.
--
-- Grain:     one row per record_label
-- Reads:     ledger.jobs, ledger.edges, usage.job_quantity, usage.calendar
-- Units:     counts of jobs
-- Left out:  jobs not finished in the last three months
WITH
job AS (
    SELECT
        roof.job_ref,
        roof.quoted_price_gbp IS NOT NULL AS has_price,
        roof.area_m2 IS NOT NULL AS has_area,
        roof.measured_area_m2 IS NOT NULL AS is_measured,
        coalesce(roof.labour_cost_gbp, roof.labour_days) IS NOT NULL AS has_labour,
        coalesce(bool_or(quantity.used_quantity IS NOT NULL), FALSE) AS has_use,
        coalesce(bool_or(quantity.returned_quantity IS NOT NULL), FALSE) AS has_return
    FROM ledger.jobs AS roof
    INNER JOIN usage.calendar AS calendar
        ON roof.completed_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
    LEFT JOIN usage.job_quantity AS quantity ON roof.job_ref = quantity.job_ref
    WHERE roof.status = 'completed'
    GROUP BY
        roof.job_ref,
        roof.quoted_price_gbp,
        roof.area_m2,
        roof.measured_area_m2,
        roof.labour_cost_gbp,
        roof.labour_days
),

edged AS (
    SELECT DISTINCT edge.job_ref
    FROM ledger.edges AS edge
),

counted AS (
    SELECT
        count(*) AS job_count,
        count(*) FILTER (WHERE job.has_price) AS price_count,
        count(*) FILTER (WHERE job.has_area) AS area_count,
        count(*) FILTER (WHERE job.has_use) AS use_count,
        count(*) FILTER (WHERE job.has_return) AS return_count,
        count(*) FILTER (WHERE job.is_measured) AS measured_count,
        count(*) FILTER (WHERE edged.job_ref IS NOT NULL) AS edge_count,
        count(*) FILTER (WHERE job.has_labour) AS labour_count
    FROM job
    LEFT JOIN edged ON job.job_ref = edged.job_ref
),

told AS (
    SELECT
        1 AS order_no,
        'Jobs with a price' AS record_label,
        counted.price_count AS with_record_count,
        counted.job_count,
        'what is left after materials' AS answer
    FROM counted
    UNION ALL
    SELECT
        2 AS order_no,
        'Jobs with an area' AS record_label,
        counted.area_count AS with_record_count,
        counted.job_count,
        'what a square metre takes' AS answer
    FROM counted
    UNION ALL
    SELECT
        4 AS order_no,
        'Jobs with what was taken out' AS record_label,
        counted.use_count AS with_record_count,
        counted.job_count,
        'what each job used, beside what it was allowed' AS answer
    FROM counted
    UNION ALL
    SELECT
        5 AS order_no,
        'Jobs with what came back' AS record_label,
        counted.return_count AS with_record_count,
        counted.job_count,
        'whether a large use is only a missing return' AS answer
    FROM counted
    UNION ALL
    SELECT
        6 AS order_no,
        'Jobs measured on the roof' AS record_label,
        counted.measured_count AS with_record_count,
        counted.job_count,
        'whether the roof was larger than the quote' AS answer
    FROM counted
    UNION ALL
    SELECT
        3 AS order_no,
        'Jobs with their edges' AS record_label,
        counted.edge_count AS with_record_count,
        counted.job_count,
        'how far trim could have gone at best' AS answer
    FROM counted
    UNION ALL
    SELECT
        7 AS order_no,
        'Jobs with labour' AS record_label,
        counted.labour_count AS with_record_count,
        counted.job_count,
        'what is left with labour in' AS answer
    FROM counted
)

SELECT
    told.order_no,
    told.record_label,
    told.with_record_count,
    told.job_count,
    told.answer
FROM told
WHERE told.job_count > 0
ORDER BY told.order_no
