-- The months that figures are asked for, counted back from the last month end.
--
-- Grain:     one row
-- Reads:     setting.firm
-- Units:     dates. Lately: the three months up to the month end; before: the three before those
-- Left out:  nothing
SELECT
    firm.as_of,
    firm.month_end_on,
    cast(date_trunc('month', firm.month_end_on) - INTERVAL 2 MONTH AS DATE) AS lately_from_on,
    cast(date_trunc('month', firm.month_end_on) - INTERVAL 5 MONTH AS DATE) AS before_from_on,
    cast(date_trunc('month', firm.month_end_on) - INTERVAL 11 MONTH AS DATE) AS year_from_on,
    cast(date_trunc('month', firm.month_end_on) - INTERVAL 23 MONTH AS DATE) AS two_years_from_on
FROM setting.firm AS firm
