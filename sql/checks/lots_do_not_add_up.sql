-- Stock of which what came in is not what went out and what is left, or a purchase in no place.
--
-- Severity:  stop
-- Grain:     one row per material, movement or supplier at fault
-- Reads:     result.lot, result.issue_cost, feed.stock_out, feed.purchase_line, feed.own_line,
--            stock.lot_left
-- Units:     base units; GBP
-- Left out:  money of materials with a lot of which no price is known
WITH
came_in AS (
    SELECT
        lot.material,
        sum(lot.quantity) AS quantity,
        sum(lot.cost_pence) AS cost_pence,
        bool_or(lot.cost_pence IS NULL) AS is_unpriced
    FROM result.lot AS lot
    GROUP BY lot.material
),

went_out AS (
    SELECT
        issue.material,
        sum(issue.quantity) AS quantity,
        sum(issue.cost_gbp) AS cost_gbp
    FROM result.issue_cost AS issue
    WHERE issue.is_from_stock
    GROUP BY issue.material
),

still_there AS (
    SELECT
        held.material,
        sum(held.left_quantity) AS quantity,
        sum(held.left_gbp) AS cost_gbp
    FROM stock.lot_left AS held
    GROUP BY held.material
),

balance AS (
    SELECT
        came_in.material,
        came_in.is_unpriced,
        came_in.quantity
        - coalesce(went_out.quantity, 0) - coalesce(still_there.quantity, 0) AS quantity,
        came_in.cost_pence * 0.01
        - coalesce(went_out.cost_gbp, 0) - coalesce(still_there.cost_gbp, 0) AS cost_gbp
    FROM came_in
    LEFT JOIN went_out ON came_in.material = went_out.material
    LEFT JOIN still_there ON came_in.material = still_there.material
),

issued AS (
    SELECT
        issue.material,
        issue.out_no,
        sum(issue.quantity) AS quantity
    FROM result.issue_cost AS issue
    GROUP BY issue.material, issue.out_no
),

bought AS (
    SELECT
        line.supplier,
        sum(line.net_pence) AS net_pence
    FROM feed.purchase_line AS line
    GROUP BY line.supplier
),

in_lots AS (
    SELECT
        lot.supplier,
        sum(lot.cost_pence) AS cost_pence
    FROM result.lot AS lot
    WHERE lot.how = 'bought'
    GROUP BY lot.supplier
),

in_own_lines AS (
    SELECT
        own.supplier,
        sum(own.net_pence) AS net_pence
    FROM feed.own_line AS own
    GROUP BY own.supplier
),

found AS (
    SELECT
        balance.material || ': what came in is not what went out and what is left, by '
        || balance.quantity AS fault
    FROM balance
    WHERE balance.quantity != 0
    UNION ALL
    SELECT
        balance.material || ': what came in is not what went out and what is left, by £'
        || balance.cost_gbp AS fault
    FROM balance
    WHERE balance.cost_gbp != 0 AND NOT balance.is_unpriced
    UNION ALL
    SELECT
        movement.material || ' out on ' || movement.out_on || ': ' || movement.quantity
        || ' went out, ' || coalesce(issued.quantity, 0) || ' are costed' AS fault
    FROM feed.stock_out AS movement
    LEFT JOIN issued ON movement.material = issued.material AND movement.out_no = issued.out_no
    WHERE movement.quantity != coalesce(issued.quantity, 0)
    UNION ALL
    SELECT
        bought.supplier || ': £' || cast(bought.net_pence * 0.01 AS DECIMAL(12, 2))
        || ' bought, the lots and the lines beside them come to £'
        || cast(
            (coalesce(in_lots.cost_pence, 0) + coalesce(in_own_lines.net_pence, 0)) * 0.01
            AS DECIMAL(12, 2)
        ) AS fault
    FROM bought
    LEFT JOIN in_lots ON bought.supplier = in_lots.supplier
    LEFT JOIN in_own_lines ON bought.supplier = in_own_lines.supplier
    WHERE
        bought.net_pence
        != coalesce(in_lots.cost_pence, 0) + coalesce(in_own_lines.net_pence, 0)
)

SELECT found.fault
FROM found
ORDER BY found.fault
