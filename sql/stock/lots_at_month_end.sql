-- What lay in the lots at the end of each month, and what it cost.
--
-- Grain:     one row per material, month_on, from the month of its first lot
-- Reads:     result.lot, result.average_issue, feed.stock_out, ledger.materials, usage.calendar
-- Units:     pence, by how far along its lots the material was taken by then: the pence of all lots
--            that had come in, less those of the lots used up and the share of the one begun, half
--            away from zero; of stock on a moving average, less its issues. Below 0: taken before
--            the lot came in. The last month ends on the day that the run stands for
-- Left out:  nothing; blank for materials with a lot of which no price is known
WITH
lot AS (
    SELECT
        bought.material,
        bought.received_on,
        bought.lot_no,
        cast(bought.cost_pence AS HUGEINT) AS cost_pence,
        cast(bought.quantity * 1000 AS HUGEINT) AS held,
        cast(sum(bought.quantity * 1000) OVER upto AS HUGEINT) AS upto,
        cast(sum(bought.cost_pence) OVER upto AS HUGEINT) AS upto_pence
    FROM result.lot AS bought
    WINDOW upto AS (PARTITION BY bought.material ORDER BY bought.lot_no ASC)
),

span AS (
    SELECT
        lot.material,
        cast(date_trunc('month', min(lot.received_on)) AS DATE) AS from_on,
        max(lot.upto) AS all_held,
        bool_and(lot.cost_pence IS NOT NULL) AS is_priced
    FROM lot
    GROUP BY lot.material
),

month AS (
    SELECT
        span.material,
        span.all_held,
        span.is_priced,
        item.costing,
        cast(
            unnest(generate_series(span.from_on, calendar.as_of, INTERVAL 1 MONTH)) AS DATE
        ) AS month_on
    FROM span
    INNER JOIN ledger.materials AS item ON span.material = item.material
    CROSS JOIN usage.calendar AS calendar
),

came AS (
    SELECT
        month.material,
        month.month_on,
        sum(lot.cost_pence) AS cost_pence
    FROM month
    INNER JOIN lot
        ON
            month.material = lot.material
            AND lot.received_on < month.month_on + INTERVAL 1 MONTH
    GROUP BY month.material, month.month_on
),

gone AS (
    SELECT
        month.material,
        month.month_on,
        least(
            cast(sum(movement.quantity) * 1000 AS HUGEINT), any_value(month.all_held)
        ) AS quantity
    FROM month
    INNER JOIN feed.stock_out AS movement
        ON
            month.material = movement.material
            AND movement.moves_stock
            AND movement.out_on < month.month_on + INTERVAL 1 MONTH
    WHERE month.costing IS DISTINCT FROM 'average'
    GROUP BY month.material, month.month_on
),

given AS (
    SELECT
        gone.material,
        gone.month_on,
        lot.upto_pence - lot.cost_pence
        + (2 * lot.cost_pence * (gone.quantity - lot.upto + lot.held) + lot.held)
        // (2 * lot.held) AS cost_pence
    FROM gone
    ASOF JOIN lot ON gone.material = lot.material AND gone.quantity <= lot.upto
    UNION ALL
    SELECT
        month.material,
        month.month_on,
        sum(issue.cost_pence) AS cost_pence
    FROM month
    INNER JOIN feed.stock_out AS movement
        ON
            month.material = movement.material
            AND movement.out_on < month.month_on + INTERVAL 1 MONTH
    INNER JOIN result.average_issue AS issue
        ON movement.material = issue.material AND movement.out_no = issue.out_no
    WHERE month.costing = 'average'
    GROUP BY month.material, month.month_on
)

SELECT
    month.material,
    month.month_on,
    CASE
        WHEN month.is_priced
            THEN cast(came.cost_pence - coalesce(given.cost_pence, 0) AS BIGINT)
    END AS left_pence
FROM month
INNER JOIN came ON month.material = came.material AND month.month_on = came.month_on
LEFT JOIN given ON month.material = given.material AND month.month_on = given.month_on
