-- What each movement out of the stock cost, lot by lot.
--
-- Grain:     one row per material, out_no, lot_no; lot_no is blank where no lot was touched
-- Reads:     feed.stock_out, feed.landed_line, result.fifo_issue, result.average_issue, result.lot,
--            stock.price_step
-- Units:     base units; GBP, whole pennies. how: fifo; average; next receipt (taken before the lot
--            or the goods came in); found later (no paper brought it in, and a count on that day or
--            later found it); last paid (on or before the first count: by the last line paid,
--            carriage in); beyond all that came in, by the price in force on the day: list, last
--            paid, first paid after; no price (blank, never nothing). is_from_stock: out of lots.
--            delivery: how much of the cost is carriage, blank of stock on a moving average
-- Left out:  nothing: what no lot covers is priced or said to have no price
WITH
taken AS (
    SELECT
        issue.material,
        issue.out_no,
        issue.lot_no,
        issue.quantity,
        issue.cost_pence,
        issue.delivery_pence,
        CASE WHEN issue.is_early THEN 'next receipt' ELSE 'fifo' END AS how
    FROM result.fifo_issue AS issue
    UNION ALL
    SELECT
        issue.material,
        issue.out_no,
        NULL AS lot_no,
        issue.quantity,
        issue.cost_pence,
        NULL AS delivery_pence,
        CASE WHEN issue.is_early THEN 'next receipt' ELSE 'average' END AS how
    FROM result.average_issue AS issue
),

covered AS (
    SELECT
        taken.material,
        taken.out_no,
        sum(taken.quantity) AS quantity
    FROM taken
    GROUP BY taken.material, taken.out_no
),

beyond AS (
    SELECT
        movement.material,
        movement.out_no,
        movement.out_on,
        movement.moves_stock,
        movement.quantity - coalesce(covered.quantity, 0) AS quantity
    FROM feed.stock_out AS movement
    LEFT JOIN covered
        ON movement.material = covered.material AND movement.out_no = covered.out_no
    WHERE movement.quantity > coalesce(covered.quantity, 0)
),

paid AS (
    SELECT
        line.material,
        line.received_on,
        cast(sum(line.cost_pence) AS HUGEINT) AS cost_pence,
        cast(sum(line.quantity) * 1000 AS HUGEINT) AS quantity
    FROM feed.landed_line AS line
    GROUP BY line.material, line.received_on
),

priced AS (
    SELECT
        beyond.material,
        beyond.out_no,
        beyond.quantity,
        CASE
            WHEN NOT beyond.moves_stock AND paid.quantity IS NOT NULL
                THEN
                    (
                        2 * paid.cost_pence * cast(beyond.quantity * 1000 AS HUGEINT)
                        + paid.quantity
                    )
                    // (2 * paid.quantity)
            ELSE
                cast(
                    cast(
                        cast(beyond.quantity * step.price_gbp AS DECIMAL(24, 6))
                        AS DECIMAL(20, 2)
                    ) * 100 AS HUGEINT
                )
        END AS cost_pence,
        CASE
            WHEN NOT beyond.moves_stock AND paid.quantity IS NOT NULL THEN 'last paid'
            ELSE step.how
        END AS how
    FROM beyond
    ASOF LEFT JOIN paid
        ON beyond.material = paid.material AND beyond.out_on >= paid.received_on
    ASOF LEFT JOIN stock.price_step AS step
        ON beyond.material = step.material AND beyond.out_on >= step.from_on
),

costed AS (
    SELECT
        taken.material,
        taken.out_no,
        taken.lot_no,
        taken.quantity,
        taken.cost_pence,
        taken.delivery_pence,
        taken.how,
        TRUE AS is_from_stock
    FROM taken
    UNION ALL
    SELECT
        priced.material,
        priced.out_no,
        NULL AS lot_no,
        priced.quantity,
        priced.cost_pence,
        0 AS delivery_pence,
        priced.how,
        FALSE AS is_from_stock
    FROM priced
)

SELECT
    movement.material,
    movement.out_no,
    movement.flow,
    movement.job_ref,
    movement.out_on,
    costed.lot_no,
    lot.received_on,
    costed.is_from_stock,
    cast(costed.quantity AS DECIMAL(18, 3)) AS quantity,
    cast(costed.cost_pence * 0.01 AS DECIMAL(12, 2)) AS cost_gbp,
    cast(costed.delivery_pence * 0.01 AS DECIMAL(12, 2)) AS delivery_gbp,
    CASE
        WHEN costed.cost_pence IS NULL THEN 'no price'
        WHEN lot.how = 'found' AND lot.received_on >= movement.out_on THEN 'found later'
        ELSE costed.how
    END AS how
FROM feed.stock_out AS movement
INNER JOIN costed ON movement.material = costed.material AND movement.out_no = costed.out_no
LEFT JOIN result.lot AS lot ON costed.material = lot.material AND costed.lot_no = lot.lot_no
