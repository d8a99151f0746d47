-- What was counted last, what the booked jobs are allowed, and what came since the count.
--
-- Grain:     one row per material
-- Reads:     stock.last_count, stock.price_in_force, ledger.materials, ledger.purchases,
--            ledger.jobs, usage.allowed, usage.calendar
-- Units:     base units; short = booked - counted - bought since, where above 0; value at the
--            price in force, rounded here by way of six places, as money of use is
-- Left out:  what was taken to jobs since the count: the stock as counted is not the stock today;
--            materials that were never counted
WITH
booked AS (
    SELECT
        allowed.material,
        cast(sum(allowed.allowed_quantity) AS DECIMAL(18, 3)) AS quantity
    FROM usage.allowed AS allowed
    INNER JOIN ledger.jobs AS job ON allowed.job_ref = job.job_ref
    WHERE job.status = 'booked'
    GROUP BY allowed.material
),

bought AS (
    SELECT
        counted.material,
        cast(sum(line.quantity) AS DECIMAL(18, 3)) AS quantity
    FROM stock.last_count AS counted
    CROSS JOIN usage.calendar AS calendar
    INNER JOIN ledger.purchases AS line ON counted.material = line.material
    WHERE
        line.line_kind = 'goods'
        AND coalesce(line.delivered_on, line.document_on) > counted.counted_on
        AND coalesce(line.delivered_on, line.document_on) <= calendar.as_of
    GROUP BY counted.material
)

SELECT
    counted.material,
    item.kind,
    item.base_unit,
    counted.counted_on,
    counted.quantity,
    counted.place_count,
    cast(
        cast(counted.quantity * price.price_gbp AS DECIMAL(24, 6)) AS DECIMAL(12, 2)
    ) AS value_gbp,
    booked.quantity AS booked_quantity,
    coalesce(bought.quantity, 0) AS bought_since_quantity,
    CASE
        WHEN booked.quantity > counted.quantity + coalesce(bought.quantity, 0)
            THEN
                cast(
                    booked.quantity - counted.quantity - coalesce(bought.quantity, 0)
                    AS DECIMAL(18, 3)
                )
    END AS short_quantity
FROM stock.last_count AS counted
INNER JOIN ledger.materials AS item ON counted.material = item.material
LEFT JOIN stock.price_in_force AS price ON counted.material = price.material
LEFT JOIN booked ON counted.material = booked.material
LEFT JOIN bought ON counted.material = bought.material
