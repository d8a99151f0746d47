-- What lay in stock, came and went in the months finished lately, and whether it adds up.
--
-- Grain:     one row per month_on
-- Reads:     comparison.month_bridge, usage.calendar
-- Units:     GBP, as comparison.month_bridge
-- Left out:  months before the last three, and the month that is not over
SELECT
    bridge.month_on,
    bridge.opening_gbp,
    bridge.first_count_gbp,
    bridge.goods_gbp,
    bridge.delivery_gbp,
    bridge.outside_gbp,
    bridge.found_gbp,
    bridge.jobs_gbp,
    bridge.not_booked_gbp,
    bridge.losses_gbp,
    bridge.scrapped_gbp,
    bridge.returned_gbp,
    bridge.missing_gbp,
    bridge.not_in_stock_gbp,
    bridge.closing_gbp,
    bridge.difference_gbp,
    bridge.own_line_gbp,
    bridge.credited_gbp,
    bridge.unpriced_materials
FROM comparison.month_bridge AS bridge
INNER JOIN usage.calendar AS calendar
    ON bridge.month_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
ORDER BY bridge.month_on
