-- What stood in the yard and the vans at the last count, beside what the booked jobs are allowed.
--
-- Grain:     one row per material
-- Reads:     stock.position
-- Units:     base units; GBP at the price in force
-- Left out:  as stock.position
SELECT
    stood.material,
    stood.kind,
    stood.base_unit,
    stood.counted_on,
    stood.quantity,
    stood.place_count,
    stood.value_gbp,
    stood.booked_quantity,
    stood.bought_since_quantity,
    stood.short_quantity
FROM stock.position AS stood
ORDER BY stood.short_quantity IS NULL ASC, stood.value_gbp DESC NULLS LAST, stood.material ASC
