-- Lots in stock whose date is near, soonest first.
--
-- Grain:     one row per material, lot, expires_on
-- Reads:     stock.place_count, stock.bought_line, ledger.materials, usage.calendar
-- Units:     base units, over all places; places: where it lies, the most first, in words;
--            days_left from the day that the run stands for, below 0 once it is past
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
),

placed AS (
    SELECT
        counted.material,
        counted.lot,
        counted.place,
        coalesce(counted.expires_on, dated.expires_on) AS expires_on,
        sum(counted.quantity) AS quantity
    FROM stock.place_count AS counted
    LEFT JOIN dated ON counted.material = dated.material AND counted.lot = dated.lot
    WHERE counted.quantity > 0
    GROUP BY
        counted.material,
        counted.lot,
        counted.place,
        coalesce(counted.expires_on, dated.expires_on)
)

SELECT
    placed.material,
    placed.lot,
    placed.expires_on,
    item.base_unit,
    cast(sum(placed.quantity) AS DECIMAL(18, 3)) AS quantity,
    cast(placed.expires_on - calendar.as_of AS BIGINT) AS days_left,
    string_agg(placed.place, ', ' ORDER BY placed.quantity DESC, placed.place ASC) AS places
FROM placed
CROSS JOIN usage.calendar AS calendar
INNER JOIN ledger.materials AS item ON placed.material = item.material
WHERE placed.expires_on IS NOT NULL
GROUP BY placed.material, placed.lot, placed.expires_on, item.base_unit, calendar.as_of
ORDER BY placed.expires_on ASC, placed.material ASC, placed.lot ASC
