-- What was counted last, what came and went since, and whether the booked jobs can be done from it.
--
-- Grain:     one row per material
-- Reads:     stock.last_count, stock.lot_position, stock.price_in_force, feed.stock_move,
--            ledger.materials, ledger.purchases, ledger.jobs, usage.allowed, usage.job_quantity,
--            usage.calendar
-- Units:     base units; expected = counted + bought since - taken since, by the papers; to_come:
--            what booked jobs are allowed and have not taken; short = to_come - expected, above 0;
--            first_expires_on: the nearest date of a lot that should be left, past_date: what
--            should be left of lots whose date has passed; value of the count at the price in
--            force, rounded here by way of six places, as money of use is
-- Left out:  where the stock lies today: places are known as last counted; materials that were
--            never counted
WITH
booked AS (
    SELECT
        allowed.material,
        cast(sum(allowed.allowed_quantity) AS DECIMAL(18, 3)) AS quantity,
        cast(
            sum(greatest(allowed.allowed_quantity - coalesce(taken.drawn_quantity, 0), 0))
            AS DECIMAL(18, 3)
        ) AS to_come_quantity
    FROM usage.allowed AS allowed
    INNER JOIN ledger.jobs AS job ON allowed.job_ref = job.job_ref
    LEFT JOIN usage.job_quantity AS taken
        ON allowed.job_ref = taken.job_ref AND allowed.material = taken.material
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
),

taken AS (
    SELECT
        counted.material,
        cast(-sum(flow.quantity) AS DECIMAL(18, 3)) AS quantity
    FROM stock.last_count AS counted
    INNER JOIN feed.stock_move AS flow
        ON
            counted.material = flow.material
            AND counted.counted_on < flow.moved_on
            AND flow.flow NOT IN ('bought', 'to supplier')
    GROUP BY counted.material
),

lot AS (
    SELECT
        held.material,
        cast(
            sum(held.left_quantity) FILTER (WHERE held.expires_on < calendar.as_of)
            AS DECIMAL(18, 3)
        ) AS past_date_quantity,
        min(held.expires_on) AS first_expires_on
    FROM stock.lot_position AS held
    CROSS JOIN usage.calendar AS calendar
    WHERE held.left_quantity > 0
    GROUP BY held.material
),

expected AS (
    SELECT
        counted.material,
        counted.counted_on,
        counted.quantity,
        counted.place_count,
        cast(
            counted.quantity + coalesce(bought.quantity, 0) - coalesce(taken.quantity, 0)
            AS DECIMAL(18, 3)
        ) AS expected_quantity,
        coalesce(bought.quantity, 0) AS bought_since_quantity,
        coalesce(taken.quantity, 0) AS taken_since_quantity
    FROM stock.last_count AS counted
    LEFT JOIN bought ON counted.material = bought.material
    LEFT JOIN taken ON counted.material = taken.material
)

SELECT
    stood.material,
    item.kind,
    item.base_unit,
    stood.counted_on,
    stood.quantity,
    stood.place_count,
    booked.quantity AS booked_quantity,
    booked.to_come_quantity,
    stood.bought_since_quantity,
    stood.taken_since_quantity,
    stood.expected_quantity,
    lot.first_expires_on,
    lot.past_date_quantity,
    cast(
        cast(stood.quantity * price.price_gbp AS DECIMAL(24, 6)) AS DECIMAL(12, 2)
    ) AS value_gbp,
    CASE
        WHEN booked.to_come_quantity > stood.expected_quantity
            THEN cast(booked.to_come_quantity - stood.expected_quantity AS DECIMAL(18, 3))
    END AS short_quantity
FROM expected AS stood
INNER JOIN ledger.materials AS item ON stood.material = item.material
LEFT JOIN stock.price_in_force AS price ON stood.material = price.material
LEFT JOIN booked ON stood.material = booked.material
LEFT JOIN lot ON stood.material = lot.material
