-- Where each material lay when it was last counted, place by place.
--
-- Grain:     one row per material, place
-- Reads:     stock.place_count, ledger.materials, stock.price_in_force
-- Units:     base units, over all lots and lengths; GBP at the price in force, by way of six
--            places; counted_on: the day on which that place was counted
-- Left out:  where it lies today: nobody writes down what moves between places; places that held
--            nothing
SELECT
    counted.material,
    counted.place,
    item.base_unit,
    cast(sum(counted.quantity) AS DECIMAL(18, 3)) AS quantity,
    cast(
        cast(sum(counted.quantity) * any_value(price.price_gbp) AS DECIMAL(24, 6))
        AS DECIMAL(12, 2)
    ) AS value_gbp,
    max(counted.counted_on) AS counted_on
FROM stock.place_count AS counted
INNER JOIN ledger.materials AS item ON counted.material = item.material
LEFT JOIN stock.price_in_force AS price ON counted.material = price.material
GROUP BY counted.material, item.base_unit, counted.place
HAVING sum(counted.quantity) > 0
ORDER BY counted.material ASC, quantity DESC, counted.place ASC
