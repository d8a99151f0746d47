-- Resin and mat of which more or less was bought for a roof than is allowed for it.
--
-- Grain:     one row per material
-- Reads:     page.bought_rate, stock.price_in_force, ledger.materials
-- Units:     rates as page.bought_rate; month_gbp: what was bought beyond the allowance, at the
--            price in force, over the months with an invoice; below 0 where less was bought
-- Left out:  other kinds; materials without an allowance; an allowance inside the range that the
--            stock, which nobody counted, leaves open
SELECT
    bought.material,
    bought.base_unit,
    bought.month_count,
    bought.rate,
    bought.low_rate,
    bought.high_rate,
    bought.allowed_rate,
    bought.rate_label,
    cast(
        (bought.rate - bought.allowed_rate)
        * bought.area_m2
        * price.price_gbp
        / bought.month_count
        AS DECIMAL(12, 2)
    ) AS month_gbp
FROM page.bought_rate AS bought
INNER JOIN ledger.materials AS item
    ON bought.material = item.material AND item.kind IN ('resin', 'mat')
LEFT JOIN stock.price_in_force AS price ON bought.material = price.material
WHERE bought.allowed_rate NOT BETWEEN bought.low_rate AND bought.high_rate
