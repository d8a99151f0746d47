-- Whose figures they are, for which months, and how much there is to go on.
--
-- Grain:     one row
-- Reads:     setting.firm, usage.calendar, ledger.jobs, ledger.job_materials, ledger.edges,
--            ledger.stock_counts, margin.job
-- Units:     counts of jobs. bears_vat: VAT on materials is not taken back; vat_unknown_count: jobs
--            finished lately with use, of which only a rate of VAT is missing
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
    ) AS has_labour,
    coalesce(firm.vat, 'normal') != 'normal' AS bears_vat,
    (
        SELECT count(*)
        FROM margin.job AS done
        WHERE
            done.own_gbp IS NOT NULL
            AND done.vat_gbp IS NULL
            AND done.completed_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
    ) AS vat_unknown_count
FROM setting.firm AS firm
CROSS JOIN usage.calendar AS calendar
