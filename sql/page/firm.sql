-- Whose figures they are, for which months, and how much there is to go on.
--
-- Grain:     one row
-- Reads:     setting.firm, usage.calendar, ledger.jobs, ledger.job_materials, ledger.edges,
--            ledger.stock_counts
-- Units:     counts of jobs
-- Left out:  jobs finished after the day that the run stands for
SELECT
    firm.firm,
    firm.depot,
    firm.as_of,
    firm.month_end_on,
    calendar.lately_from_on,
    firm.left_aim_ratio,
    (
        SELECT count(*)
        FROM ledger.jobs AS job
        WHERE job.status = 'completed' AND job.completed_on <= firm.as_of
    ) AS finished_job_count,
    (
        SELECT count(*)
        FROM ledger.jobs AS job
        WHERE
            job.status = 'completed'
            AND job.completed_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
    ) AS lately_job_count,
    (
        SELECT count(*) FROM ledger.jobs AS job
        WHERE job.status = 'booked'
    ) AS booked_job_count,
    (SELECT count(card.issued_quantity) > 0 FROM ledger.job_materials AS card) AS has_issues,
    (SELECT count(*) > 0 FROM ledger.edges) AS has_edges,
    (SELECT count(*) > 0 FROM ledger.stock_counts) AS has_counts,
    (
        SELECT count(coalesce(job.labour_days, job.labour_cost_gbp)) > 0
        FROM ledger.jobs AS job
    ) AS has_labour
FROM setting.firm AS firm
CROSS JOIN usage.calendar AS calendar
