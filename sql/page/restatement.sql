-- Figures of closed months that differ from what was printed by enough to be said.
--
-- Grain:     one row per month_on, job_ref, figure; blank job_ref: the month's total
-- Reads:     comparison.restatement
-- Units:     GBP ex VAT; records: by rows that came in after the closing; method: by settings or
--            program; both blank where not told apart; change blank: not known now
-- Left out:  changes below 25 GBP and below 1 % of what was printed
SELECT
    told.month_on,
    told.job_ref,
    told.figure,
    told.as_closed_gbp,
    told.as_now_gbp,
    told.change_gbp,
    told.records_gbp,
    told.method_gbp,
    told.cause
FROM comparison.restatement AS told
WHERE
    told.change_gbp IS NULL
    OR abs(told.change_gbp) >= 25
    OR abs(told.change_gbp) * 100 >= abs(coalesce(told.as_closed_gbp, 0))
ORDER BY
    told.month_on DESC,
    told.job_ref IS NOT NULL ASC,
    told.job_ref ASC,
    told.figure = 'left' DESC,
    told.figure DESC
