-- The months that are closed, and what each left as printed and as it stands now.
--
-- Grain:     one row per month_on
-- Reads:     ledger.closings, ledger.closed_figures, comparison.month_figure
-- Units:     GBP ex VAT, totals of the month; as_closed is blank where no figure was kept
-- Left out:  nothing
SELECT
    closed.month_on,
    closed.closed_on,
    closed.closed_by,
    printed.gbp AS as_closed_gbp,
    standing.gbp AS as_now_gbp
FROM ledger.closings AS closed
LEFT JOIN ledger.closed_figures AS printed
    ON
        closed.month_on = printed.month_on
        AND printed.job_ref IS NULL
        AND printed.figure = 'left'
LEFT JOIN comparison.month_figure AS standing
    ON
        closed.month_on = standing.month_on
        AND standing.job_ref IS NULL
        AND standing.figure = 'left'
ORDER BY closed.month_on DESC
