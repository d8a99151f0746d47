-- Lots whose date is past or at most 60 days off, what should be left of them, and its worth.
--
-- Grain:     one row per material, lot, expires_on
-- Reads:     page.stock_date, stock.price_in_force
-- Units:     base units; value at the price in force, by way of six places; days_left below 0 once
--            the date is past
-- Left out:  lots without a date; lots with more than 60 days left
SELECT
    dated.material,
    dated.lot,
    dated.expires_on,
    dated.base_unit,
    dated.quantity,
    dated.days_left,
    dated.places,
    cast(
        cast(dated.quantity * price.price_gbp AS DECIMAL(24, 6)) AS DECIMAL(12, 2)
    ) AS value_gbp
FROM page.stock_date AS dated
LEFT JOIN stock.price_in_force AS price ON dated.material = price.material
WHERE dated.days_left <= 60
