-- What left the stock, movement by movement, in the order in which it left.
--
-- Grain:     one row per material, out_no
-- Reads:     feed.booked_out, feed.count_difference
-- Units:     base units, above 0. flow: those of booked_out, and count: what a count found less
--            than the papers say, at the end of the count's day. moves_stock: after the first count
-- Left out:  nothing
WITH
movement AS (
    SELECT
        booked.material,
        booked.flow,
        booked.job_ref,
        booked.out_key,
        booked.out_on,
        booked.quantity,
        booked.moves_stock
    FROM feed.booked_out AS booked
    UNION ALL
    SELECT
        counted.material,
        'count' AS flow,
        NULL AS job_ref,
        NULL AS out_key,
        counted.counted_on AS out_on,
        counted.difference_quantity AS quantity,
        TRUE AS moves_stock
    FROM feed.count_difference AS counted
    WHERE counted.difference_quantity > 0
)

SELECT
    movement.material,
    movement.flow,
    movement.job_ref,
    movement.out_key,
    movement.out_on,
    movement.quantity,
    movement.moves_stock,
    row_number() OVER (
        PARTITION BY movement.material
        ORDER BY
            movement.out_on ASC, (movement.flow = 'count') ASC, movement.flow ASC,
            movement.job_ref ASC, movement.out_key ASC, movement.quantity ASC
    ) AS out_no
FROM movement
