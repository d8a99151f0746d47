-- A month whose opening stock and movements do not come to its closing stock, in pounds.
--
-- Severity:  stop
-- Grain:     one row per month or material at fault
-- Reads:     comparison.month_bridge, stock.lots_at_month_end, stock.lot_left, usage.calendar
-- Units:     GBP; the lots of the last month end besides are what is left of them one by one
-- Left out:  materials of which a price is missing
WITH
left_by_lot AS (
    SELECT
        lot.material,
        sum(lot.left_gbp) AS left_gbp
    FROM stock.lot_left AS lot
    GROUP BY lot.material
),

found AS (
    SELECT
        strftime(bridge.month_on, '%B %Y') || ': what lay in stock, came and went does not come to '
        || 'what is left, by £' || bridge.difference_gbp AS fault
    FROM comparison.month_bridge AS bridge
    WHERE bridge.difference_gbp != 0
    UNION ALL
    SELECT
        held.material || ': £' || cast(held.left_pence * 0.01 AS DECIMAL(12, 2))
        || ' lie in its lots, one by one £' || coalesce(left_by_lot.left_gbp, 0) AS fault
    FROM stock.lots_at_month_end AS held
    INNER JOIN usage.calendar AS calendar
        ON held.month_on = cast(date_trunc('month', calendar.as_of) AS DATE)
    LEFT JOIN left_by_lot ON held.material = left_by_lot.material
    WHERE held.left_pence != coalesce(left_by_lot.left_gbp, 0) * 100
)

SELECT found.fault
FROM found
ORDER BY found.fault
