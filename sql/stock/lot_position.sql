-- What should be left of each lot: as last counted and bought since, run down first expiry first.
--
-- Grain:     one row per material, lot, expires_on
-- Reads:     stock.place_count, stock.bought_line, feed.stock_move
-- Units:     base units; what went since the count (jobs, rack, losses, goods sent back) is taken
--            from the lot whose date is nearest, those without a date last. places: where it was
--            seen at that count, the most first, in words; counted_on: the material's newest count
-- Left out:  materials that were never counted; which lot was really taken: nobody wrote it down
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

last_on AS (
    SELECT
        seen.material,
        max(seen.newest_on) AS counted_on
    FROM stock.place_count AS seen
    GROUP BY seen.material
),

placed AS (
    SELECT
        seen.material,
        seen.lot,
        seen.place,
        coalesce(seen.expires_on, dated.expires_on) AS expires_on,
        sum(seen.quantity) AS quantity
    FROM stock.place_count AS seen
    LEFT JOIN dated ON seen.material = dated.material AND seen.lot = dated.lot
    GROUP BY seen.material, seen.lot, seen.place, coalesce(seen.expires_on, dated.expires_on)
),

came AS (
    SELECT
        placed.material,
        placed.lot,
        placed.expires_on,
        placed.place,
        placed.quantity AS counted_quantity,
        0 AS bought_quantity
    FROM placed
    WHERE placed.quantity > 0
    UNION ALL
    SELECT
        line.material,
        line.lot,
        coalesce(line.expires_on, dated.expires_on) AS expires_on,
        NULL AS place,
        0 AS counted_quantity,
        line.quantity AS bought_quantity
    FROM stock.bought_line AS line
    INNER JOIN last_on
        ON line.material = last_on.material AND line.bought_on > last_on.counted_on
    LEFT JOIN dated ON line.material = dated.material AND line.lot = dated.lot
),

lot AS (
    SELECT
        came.material,
        came.lot,
        came.expires_on,
        sum(came.counted_quantity) AS counted_quantity,
        sum(came.bought_quantity) AS bought_quantity,
        string_agg(came.place, ', ' ORDER BY came.counted_quantity DESC, came.place ASC) AS places
    FROM came
    GROUP BY came.material, came.lot, came.expires_on
),

gone AS (
    SELECT
        flow.material,
        -sum(flow.quantity) AS quantity
    FROM feed.stock_move AS flow
    INNER JOIN last_on
        ON flow.material = last_on.material AND flow.moved_on > last_on.counted_on
    WHERE flow.flow != 'bought'
    GROUP BY flow.material
),

run_down AS (
    SELECT
        lot.material,
        lot.lot,
        lot.expires_on,
        lot.counted_quantity,
        lot.bought_quantity,
        lot.places,
        lot.counted_quantity + lot.bought_quantity AS quantity,
        coalesce(gone.quantity, 0) AS gone_quantity,
        sum(lot.counted_quantity + lot.bought_quantity) OVER (
            PARTITION BY lot.material
            ORDER BY lot.expires_on ASC NULLS LAST, lot.lot ASC NULLS LAST
        ) AS upto_quantity
    FROM lot
    LEFT JOIN gone ON lot.material = gone.material
)

SELECT
    run_down.material,
    run_down.lot,
    run_down.expires_on,
    last_on.counted_on,
    run_down.places,
    cast(run_down.counted_quantity AS DECIMAL(18, 3)) AS counted_quantity,
    cast(run_down.bought_quantity AS DECIMAL(18, 3)) AS bought_since_quantity,
    cast(
        least(
            greatest(run_down.upto_quantity - greatest(run_down.gone_quantity, 0), 0),
            run_down.quantity
        ) AS DECIMAL(18, 3)
    ) AS left_quantity
FROM run_down
INNER JOIN last_on ON run_down.material = last_on.material
