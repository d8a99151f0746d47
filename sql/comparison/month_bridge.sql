-- Month by month: what lay in stock, came and went, in pounds, and whether that is what is left.
--
-- Grain:     one row per month_on, from the first lot to the day that the run stands for
-- Reads:     comparison.month_term, stock.lots_at_month_end, stock.rack_at_month_end,
--            usage.calendar
-- Units:     GBP; opening and closing: lots and rack at what they cost. difference = opening +
--            first_count + goods + delivery + outside + found - jobs - not_booked - losses -
--            scrapped - returned - missing - not_in_stock - closing, and must be 0. The words are
--            those of comparison.month_term; credited and own_line stand beside it
-- Left out:  materials of which a price is missing: named, and in no figure
WITH
unpriced AS (
    SELECT held.material
    FROM stock.lots_at_month_end AS held
    WHERE held.left_pence IS NULL
    UNION
    SELECT held.material
    FROM stock.rack_at_month_end AS held
    WHERE held.left_pence IS NULL
    UNION
    SELECT term.material
    FROM comparison.month_term AS term
    WHERE term.pence IS NULL
),

held AS (
    SELECT
        lots.month_on,
        lots.material,
        lots.left_pence
    FROM stock.lots_at_month_end AS lots
    UNION ALL
    SELECT
        rack.month_on,
        rack.material,
        rack.left_pence
    FROM stock.rack_at_month_end AS rack
),

closing AS (
    SELECT
        held.month_on,
        sum(held.left_pence) AS left_pence
    FROM held
    ANTI JOIN unpriced ON held.material = unpriced.material
    GROUP BY held.month_on
),

moved AS (
    SELECT
        term.month_on,
        coalesce(sum(term.pence) FILTER (WHERE term.term = 'first count'), 0) AS first_count_pence,
        coalesce(sum(term.pence) FILTER (WHERE term.term = 'goods'), 0) AS goods_pence,
        coalesce(sum(term.pence) FILTER (WHERE term.term = 'delivery'), 0) AS delivery_pence,
        coalesce(sum(term.pence) FILTER (WHERE term.term = 'outside'), 0) AS outside_pence,
        coalesce(sum(term.pence) FILTER (WHERE term.term = 'found'), 0) AS found_pence,
        coalesce(sum(term.pence) FILTER (WHERE term.term = 'jobs'), 0) AS jobs_pence,
        coalesce(sum(term.pence) FILTER (WHERE term.term = 'not booked'), 0) AS not_booked_pence,
        coalesce(sum(term.pence) FILTER (WHERE term.term = 'losses'), 0) AS losses_pence,
        coalesce(sum(term.pence) FILTER (WHERE term.term = 'scrapped'), 0) AS scrapped_pence,
        coalesce(sum(term.pence) FILTER (WHERE term.term = 'returned'), 0) AS returned_pence,
        coalesce(sum(term.pence) FILTER (WHERE term.term = 'missing'), 0) AS missing_pence,
        coalesce(sum(term.pence) FILTER (WHERE term.term = 'not in stock'), 0)
            AS not_in_stock_pence,
        coalesce(sum(term.pence) FILTER (WHERE term.term = 'credited'), 0) AS credited_pence,
        coalesce(sum(term.pence) FILTER (WHERE term.term = 'own line'), 0) AS own_line_pence
    FROM comparison.month_term AS term
    LEFT JOIN unpriced ON term.material = unpriced.material
    WHERE unpriced.material IS NULL
    GROUP BY term.month_on
),

first_month AS (
    SELECT min(term.month_on) AS month_on
    FROM comparison.month_term AS term
),

month AS (
    SELECT
        cast(
            unnest(generate_series(first_month.month_on, calendar.as_of, INTERVAL 1 MONTH))
            AS DATE
        ) AS month_on
    FROM first_month
    CROSS JOIN usage.calendar AS calendar
),

named AS (
    SELECT
        string_agg(unpriced.material, ', ' ORDER BY unpriced.material) AS materials,
        count(*) AS material_count
    FROM unpriced
),

placed AS (
    SELECT
        month.month_on,
        coalesce(closing.left_pence, 0) AS closing_pence,
        coalesce(lag(closing.left_pence) OVER (ORDER BY month.month_on), 0) AS opening_pence
    FROM month
    LEFT JOIN closing ON month.month_on = closing.month_on
),

summed AS (
    SELECT
        placed.month_on,
        cast(
            (
                placed.opening_pence
                + coalesce(moved.first_count_pence, 0)
                + coalesce(moved.goods_pence, 0)
                + coalesce(moved.delivery_pence, 0)
                + coalesce(moved.outside_pence, 0)
                + coalesce(moved.found_pence, 0)
                - coalesce(moved.jobs_pence, 0)
                - coalesce(moved.not_booked_pence, 0)
                - coalesce(moved.losses_pence, 0)
                - coalesce(moved.scrapped_pence, 0)
                - coalesce(moved.returned_pence, 0)
                - coalesce(moved.missing_pence, 0)
                - coalesce(moved.not_in_stock_pence, 0)
                - placed.closing_pence
            ) * 0.01 AS DECIMAL(12, 2)
        ) AS difference_gbp
    FROM placed
    LEFT JOIN moved ON placed.month_on = moved.month_on
)

SELECT
    placed.month_on,
    cast(placed.opening_pence * 0.01 AS DECIMAL(12, 2)) AS opening_gbp,
    cast(coalesce(moved.first_count_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS first_count_gbp,
    cast(coalesce(moved.goods_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS goods_gbp,
    cast(coalesce(moved.delivery_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS delivery_gbp,
    cast(coalesce(moved.outside_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS outside_gbp,
    cast(coalesce(moved.found_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS found_gbp,
    cast(coalesce(moved.jobs_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS jobs_gbp,
    cast(coalesce(moved.not_booked_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS not_booked_gbp,
    cast(coalesce(moved.losses_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS losses_gbp,
    cast(coalesce(moved.scrapped_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS scrapped_gbp,
    cast(coalesce(moved.returned_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS returned_gbp,
    cast(coalesce(moved.missing_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS missing_gbp,
    cast(coalesce(moved.not_in_stock_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS not_in_stock_gbp,
    cast(coalesce(moved.credited_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS credited_gbp,
    cast(coalesce(moved.own_line_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS own_line_gbp,
    cast(placed.closing_pence * 0.01 AS DECIMAL(12, 2)) AS closing_gbp,
    summed.difference_gbp,
    named.material_count AS unpriced_count,
    named.materials AS unpriced_materials
FROM placed
INNER JOIN summed ON placed.month_on = summed.month_on
LEFT JOIN moved ON placed.month_on = moved.month_on
CROSS JOIN named
