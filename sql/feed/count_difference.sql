-- How far each later count lies from what the lots should hold, so that they hold what was counted.
--
-- Grain:     one row per material, counted_on, of counts after the first that leave out no place
-- Reads:     feed.count_day, feed.issue_habit, feed.first_count, feed.landed_line, feed.lot_credit,
--            feed.booked_out
-- Units:     base units, new lengths and sheets; above 0 there is less than the papers say. A count
--            stands at the end of its day. Goods that go back after a count lower their lot from
--            its first day, so that the lots hold that much less than was counted until then;
--            never below nothing. Where jobs book whole packs, open packs are in no count
-- Left out:  pieces on the rack; counts without a place in which the material stood
WITH
lowered AS (
    SELECT
        credit.supplier,
        credit.document_no,
        credit.year,
        credit.line_rank,
        sum(credit.back_quantity) AS back_quantity
    FROM feed.lot_credit AS credit
    GROUP BY credit.supplier, credit.document_no, credit.year, credit.line_rank
),

moved AS (
    SELECT
        counted.material,
        counted.counted_on AS moved_on,
        counted.quantity
    FROM feed.first_count AS counted
    UNION ALL
    SELECT
        goods.material,
        goods.received_on AS moved_on,
        goods.quantity - coalesce(lowered.back_quantity, 0) AS quantity
    FROM feed.landed_line AS goods
    INNER JOIN feed.first_count AS counted
        ON goods.material = counted.material AND goods.received_on > counted.counted_on
    LEFT JOIN lowered
        ON
            goods.supplier = lowered.supplier
            AND goods.document_no = lowered.document_no
            AND goods.year = lowered.year
            AND goods.line_rank = lowered.line_rank
    UNION ALL
    SELECT
        booked.material,
        booked.out_on AS moved_on,
        -booked.quantity AS quantity
    FROM feed.booked_out AS booked
    WHERE booked.moves_stock
),

daily AS (
    SELECT
        moved.material,
        moved.moved_on,
        sum(moved.quantity) AS quantity
    FROM moved
    GROUP BY moved.material, moved.moved_on
),

running AS (
    SELECT
        daily.material,
        daily.moved_on,
        sum(daily.quantity) OVER (PARTITION BY daily.material ORDER BY daily.moved_on ASC)
            AS quantity
    FROM daily
),

stood AS (
    SELECT
        counted.material,
        counted.counted_on,
        CASE
            WHEN habit.is_whole_packs THEN counted.lots_sealed_quantity
            ELSE counted.lots_quantity
        END AS quantity
    FROM feed.count_day AS counted
    INNER JOIN feed.first_count AS opening
        ON counted.material = opening.material AND counted.counted_on > opening.counted_on
    LEFT JOIN feed.issue_habit AS habit ON counted.material = habit.material
    WHERE counted.missing_places IS NULL
),

going_back AS (
    SELECT
        stood.material,
        stood.counted_on,
        sum(credit.back_quantity) AS quantity
    FROM stood
    INNER JOIN feed.lot_credit AS credit
        ON stood.material = credit.material AND stood.counted_on < credit.credited_on
    INNER JOIN feed.landed_line AS goods
        ON
            credit.supplier = goods.supplier
            AND credit.document_no = goods.document_no
            AND credit.year = goods.year
            AND credit.line_rank = goods.line_rank
            AND stood.counted_on >= goods.received_on
    INNER JOIN feed.first_count AS opening
        ON goods.material = opening.material AND goods.received_on > opening.counted_on
    GROUP BY stood.material, stood.counted_on
),

held AS (
    SELECT
        stood.material,
        stood.counted_on,
        running.quantity AS booked_quantity,
        greatest(stood.quantity - coalesce(going_back.quantity, 0), 0) AS lots_quantity
    FROM stood
    ASOF JOIN running
        ON stood.material = running.material AND stood.counted_on >= running.moved_on
    LEFT JOIN going_back
        ON
            stood.material = going_back.material
            AND stood.counted_on = going_back.counted_on
)

SELECT
    held.material,
    held.counted_on,
    cast(held.lots_quantity AS DECIMAL(18, 3)) AS lots_quantity,
    cast(
        held.booked_quantity - held.lots_quantity
        - lag(held.booked_quantity - held.lots_quantity, 1, 0) OVER (
            PARTITION BY held.material ORDER BY held.counted_on ASC
        ) AS DECIMAL(18, 3)
    ) AS difference_quantity
FROM held
