-- Which lot each movement out of the stock was taken from, first in first out, and what that cost.
--
-- Grain:     one row per material, out_no, lot_no
-- Reads:     result.lot, feed.stock_out, ledger.materials
-- Units:     base units; pence. Lots and movements lie end to end on one line per material; a
--            movement takes what it overlaps. Pence = round(P x upto after / Q) - round(P x upto
--            before / Q), half away from zero, P and Q the lot's pence and quantity: so the parts
--            of a lot come to the lot, whatever their order; so do those of its delivery, which is
--            in the cost. is_early: taken before the lot came in
-- Left out:  materials costed on a moving average; movements on or before the first count; what was
--            taken beyond all that ever came in
WITH
lot AS (
    SELECT
        lot.material,
        lot.lot_no,
        lot.received_on,
        cast(lot.cost_pence AS HUGEINT) AS cost_pence,
        cast(lot.delivery_pence AS HUGEINT) AS delivery_pence,
        cast(lot.quantity * 1000 AS BIGINT) AS held,
        cast(sum(cast(lot.quantity * 1000 AS BIGINT)) OVER (
            PARTITION BY lot.material ORDER BY lot.lot_no ASC
        ) AS BIGINT) AS upto
    FROM result.lot AS lot
    INNER JOIN ledger.materials AS item ON lot.material = item.material
    WHERE item.costing IS DISTINCT FROM 'average'
),

taken AS (
    SELECT
        movement.material,
        movement.out_no,
        movement.out_on,
        cast(sum(cast(movement.quantity * 1000 AS BIGINT)) OVER (
            PARTITION BY movement.material ORDER BY movement.out_no ASC
        ) AS BIGINT) AS upto
    FROM feed.stock_out AS movement
    INNER JOIN ledger.materials AS item ON movement.material = item.material
    WHERE movement.moves_stock AND item.costing IS DISTINCT FROM 'average'
),

cut AS (
    SELECT
        lot.material,
        lot.upto
    FROM lot
    UNION
    SELECT
        taken.material,
        taken.upto
    FROM taken
),

segment AS (
    SELECT
        cut.material,
        cut.upto,
        lag(cut.upto, 1, 0) OVER (PARTITION BY cut.material ORDER BY cut.upto ASC) AS start_at
    FROM cut
),

placed AS (
    SELECT
        segment.material,
        segment.start_at,
        segment.upto,
        lot.lot_no,
        lot.received_on,
        lot.cost_pence,
        lot.delivery_pence,
        lot.held,
        segment.start_at - (lot.upto - lot.held) AS from_held,
        segment.upto - (lot.upto - lot.held) AS upto_held
    FROM segment
    ASOF JOIN lot ON segment.material = lot.material AND segment.upto <= lot.upto
)

SELECT
    placed.material,
    taken.out_no,
    placed.lot_no,
    cast((placed.upto - placed.start_at) * 0.001 AS DECIMAL(18, 3)) AS quantity,
    cast(
        (2 * placed.cost_pence * placed.upto_held + placed.held) // (2 * placed.held)
        - (2 * placed.cost_pence * placed.from_held + placed.held) // (2 * placed.held)
        AS BIGINT
    ) AS cost_pence,
    cast(
        (2 * placed.delivery_pence * placed.upto_held + placed.held) // (2 * placed.held)
        - (2 * placed.delivery_pence * placed.from_held + placed.held) // (2 * placed.held)
        AS BIGINT
    ) AS delivery_pence,
    placed.received_on > taken.out_on AS is_early
FROM placed
ASOF JOIN taken ON placed.material = taken.material AND placed.upto <= taken.upto
