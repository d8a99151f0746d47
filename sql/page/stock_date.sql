-- Lots in stock whose date is near, soonest first.
--
-- Grain:     one row per material, lot, place, expires_on
-- Reads:     stock.place_count, stock.bought_line, ledger.materials, usage.calendar
-- Units:     base units; days_left from the day that the run stands for, below 0 once it is past
-- Left out:  lots without a date on the count or on the invoice; lots counted at nothing
WITH
dated AS (
    SELECT
        line.material,
        line.lot,
        max(line.expires_on) AS expires_on
    FROM stock.bought_line AS line
    WHERE line.lot IS NOT NULL AND line.expires_on IS NOT NULL
    GROUP BY line.material, line.lot
)

SELECT
    counted.material,
    counted.lot,
    counted.place,
    item.base_unit,
    cast(sum(counted.quantity) AS DECIMAL(18, 3)) AS quantity,
    cast(coalesce(counted.expires_on, dated.expires_on) - calendar.as_of AS BIGINT) AS days_left,
    coalesce(counted.expires_on, dated.expires_on) AS expires_on
FROM stock.place_count AS counted
CROSS JOIN usage.calendar AS calendar
INNER JOIN ledger.materials AS item ON counted.material = item.material
LEFT JOIN dated ON counted.material = dated.material AND counted.lot = dated.lot
WHERE counted.quantity > 0 AND coalesce(counted.expires_on, dated.expires_on) IS NOT NULL
GROUP BY
    counted.material,
    counted.lot,
    counted.place,
    item.base_unit,
    coalesce(counted.expires_on, dated.expires_on),
    calendar.as_of
ORDER BY expires_on ASC, counted.material ASC, counted.lot ASC, counted.place ASC
