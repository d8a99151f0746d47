-- What should be left of lots with a date, the nearest first.
--
-- Grain:     one row per material, lot, expires_on
-- Reads:     stock.lot_position, ledger.materials, usage.calendar
-- Units:     base units, over all places, what went since the count taken from the nearest date
--            first; places: where it was seen at that count, in words; days_left from the day that
--            the run stands for, below 0 once it is past
-- Left out:  lots without a date on the count or on the invoice; lots of which nothing is left
SELECT
    held.material,
    held.lot,
    held.expires_on,
    held.counted_on,
    item.base_unit,
    held.left_quantity AS quantity,
    cast(held.expires_on - calendar.as_of AS BIGINT) AS days_left,
    coalesce(held.places, 'not counted since it came') AS places
FROM stock.lot_position AS held
CROSS JOIN usage.calendar AS calendar
INNER JOIN ledger.materials AS item ON held.material = item.material
WHERE held.expires_on IS NOT NULL AND held.left_quantity > 0
ORDER BY held.expires_on ASC, held.material ASC, held.lot ASC
