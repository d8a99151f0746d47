-- Month by month of the last year: do the counts add up, and what has no job against it.
--
-- Grain:     one row per month_on, the month of the later count
-- Reads:     comparison.count_month, usage.calendar
-- Units:     GBP at the price in force; is_lately: one of the last three months, or begun since;
--            two sentences, for people
-- Left out:  months before the last year
SELECT
    counted.month_on,
    counted.adds_up,
    counted.span_count,
    counted.not_tested_count,
    counted.no_job_gbp,
    counted.more_gbp,
    counted.sums_sentence,
    counted.evidence_sentence,
    counted.month_on >= calendar.lately_from_on AS is_lately
FROM comparison.count_month AS counted
INNER JOIN usage.calendar AS calendar ON counted.month_on >= calendar.year_from_on
ORDER BY counted.month_on
