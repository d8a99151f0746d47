-- What another mix of materials of a kind cost lately, and what using more of them did.
--
-- Grain:     one row per kind
-- Reads:     comparison.mix_yield, usage.calendar
-- Units:     GBP, above 0 cost more than allowed; a memo beside the parts of the margin
-- Left out:  kinds of which no job used or was allowed two materials
SELECT
    memo.kind,
    cast(sum(memo.mix_gbp) AS DECIMAL(12, 2)) AS mix_gbp,
    cast(sum(memo.yield_gbp) AS DECIMAL(12, 2)) AS yield_gbp,
    count(DISTINCT memo.job_ref) AS job_count
FROM comparison.mix_yield AS memo
INNER JOIN usage.calendar AS calendar
    ON memo.completed_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
GROUP BY memo.kind
ORDER BY memo.kind
