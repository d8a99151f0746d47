-- A month of the last year in which material went that no job and no loss answers for.
--
-- Severity:  warn
-- Grain:     one row per month at fault
-- Reads:     comparison.count_month, usage.calendar
-- Units:     GBP at the price in force, in words
-- Left out:  months before the last year; what counting error alone can make
SELECT strftime(counted.month_on, '%B %Y') || ': ' || counted.evidence_sentence AS fault
FROM comparison.count_month AS counted
INNER JOIN usage.calendar AS calendar ON counted.month_on >= calendar.year_from_on
WHERE round(counted.no_job_gbp, 0) > 0
ORDER BY counted.month_on DESC
