-- What stands beside the margin of the last twelve months: owed, put right, in no job's cost.
--
-- Grain:     one row per item that there is
-- Reads:     ledger.jobs, margin.job, feed.own_line, usage.calendar, setting.firm
-- Units:     GBP ex VAT, VAT itself for vat; above 0 owed to the firm or paid by it, a rebate that
--            came in below 0. item_count: jobs, or lines of documents
-- Left out:  retention that was paid since, which no record says; rebates, carriage and the like
--            that are in the cost of goods already; items of which there are none
WITH
item AS (
    SELECT
        'retention' AS item,
        job.retention_gbp AS gbp
    FROM ledger.jobs AS job
    INNER JOIN usage.calendar AS calendar
        ON job.completed_on BETWEEN calendar.year_from_on AND calendar.month_end_on
    WHERE job.status = 'completed' AND job.retention_gbp > 0
    UNION ALL
    SELECT
        'put right' AS item,
        job.own_gbp + job.vat_gbp AS gbp
    FROM margin.job AS job
    INNER JOIN usage.calendar AS calendar
        ON job.completed_on BETWEEN calendar.year_from_on AND calendar.month_end_on
    WHERE job.first_job_ref IS NOT NULL
    UNION ALL
    SELECT
        'vat' AS item,
        job.vat_gbp AS gbp
    FROM margin.job AS job
    INNER JOIN usage.calendar AS calendar
        ON job.completed_on BETWEEN calendar.year_from_on AND calendar.month_end_on
    INNER JOIN setting.firm AS firm ON firm.vat != 'normal'
    WHERE job.own_gbp IS NOT NULL
    UNION ALL
    SELECT
        line.line_kind AS item,
        line.net_pence * 0.01 AS gbp
    FROM feed.own_line AS line
    INNER JOIN usage.calendar AS calendar
        ON line.received_on BETWEEN calendar.year_from_on AND calendar.month_end_on
    WHERE line.line_kind IN ('rebate', 'deposit', 'hire')
)

SELECT
    item.item,
    cast(sum(item.gbp) AS DECIMAL(12, 2)) AS gbp,
    count(*) AS item_count,
    count(*) - count(item.gbp) AS unknown_count
FROM item
GROUP BY item.item
