-- How far roofs measured on site differ from their quotes.
--
-- Grain:     one row per job_ref
-- Reads:     ledger.jobs, usage.calendar
-- Units:     m2; difference_ratio = measured / quoted - 1
-- Left out:  jobs without both areas, or finished before the last 24 months
SELECT
    job.job_ref,
    job.job_type,
    job.quoted_area_m2,
    job.measured_area_m2,
    job.measured_area_m2 / job.quoted_area_m2 - 1 AS difference_ratio
FROM ledger.jobs AS job
INNER JOIN usage.calendar AS calendar
    ON job.completed_on BETWEEN calendar.two_years_from_on AND calendar.month_end_on
WHERE
    job.status = 'completed'
    AND job.quoted_area_m2 > 0
    AND job.measured_area_m2 IS NOT NULL
ORDER BY job.completed_on, job.job_ref
