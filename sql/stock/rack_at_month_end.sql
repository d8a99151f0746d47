-- What lay on the rack at the end of each month, by the pence that the pieces brought there.
--
-- Grain:     one row per material, month_on, from the month of its first racked piece
-- Reads:     result.rack_credit, feed.rack_move, usage.calendar
-- Units:     pence, by how far along the pieces of one label, and those without one, were taken by
--            then: as stock.lots_at_month_end over lots, mm by mm. Below 0: taken before it was
--            racked. What was taken beyond all that was racked brought nothing and takes nothing
-- Left out:  nothing; blank for materials with a racked piece of which no price is known
WITH
racked AS (
    SELECT
        credit.material,
        credit.moved_on,
        cast(credit.cost_pence AS HUGEINT) AS cost_pence,
        cast(credit.moved_mm AS HUGEINT) AS moved_mm,
        cast(sum(credit.moved_mm) OVER upto AS HUGEINT) AS upto_mm,
        cast(sum(credit.cost_pence) OVER upto AS HUGEINT) AS upto_pence,
        coalesce(credit.piece, '') AS tag
    FROM result.rack_credit AS credit
    WINDOW
        upto AS (
            PARTITION BY credit.material, coalesce(credit.piece, '') ORDER BY credit.move_no ASC
        )
),

span AS (
    SELECT
        racked.material,
        cast(date_trunc('month', min(racked.moved_on)) AS DATE) AS from_on,
        bool_and(racked.cost_pence IS NOT NULL) AS is_priced
    FROM racked
    GROUP BY racked.material
),

first_taken AS (
    SELECT
        moved.material,
        cast(date_trunc('month', min(moved.moved_on)) AS DATE) AS from_on
    FROM feed.rack_move AS moved
    GROUP BY moved.material
),

month AS (
    SELECT
        span.material,
        span.is_priced,
        cast(
            unnest(generate_series(
                least(span.from_on, first_taken.from_on), calendar.as_of, INTERVAL 1 MONTH
            )) AS DATE
        ) AS month_on
    FROM span
    INNER JOIN first_taken ON span.material = first_taken.material
    CROSS JOIN usage.calendar AS calendar
),

came AS (
    SELECT
        month.material,
        month.month_on,
        sum(racked.cost_pence) AS cost_pence
    FROM month
    INNER JOIN racked
        ON
            month.material = racked.material
            AND racked.moved_on < month.month_on + INTERVAL 1 MONTH
    GROUP BY month.material, month.month_on
),

on_tag AS (
    SELECT
        racked.material,
        racked.tag,
        max(racked.upto_mm) AS all_mm
    FROM racked
    GROUP BY racked.material, racked.tag
),

gone AS (
    SELECT
        month.material,
        month.month_on,
        on_tag.tag,
        least(cast(sum(moved.moved_mm) AS HUGEINT), any_value(on_tag.all_mm)) AS moved_mm
    FROM month
    INNER JOIN feed.rack_move AS moved
        ON
            month.material = moved.material
            AND moved.fate != 'racked'
            AND moved.moved_on < month.month_on + INTERVAL 1 MONTH
    INNER JOIN on_tag
        ON month.material = on_tag.material AND coalesce(moved.piece, '') = on_tag.tag
    GROUP BY month.material, month.month_on, on_tag.tag
),

given AS (
    SELECT
        gone.material,
        gone.month_on,
        sum(
            racked.upto_pence - racked.cost_pence
            + (
                2 * racked.cost_pence * (gone.moved_mm - racked.upto_mm + racked.moved_mm)
                + racked.moved_mm
            )
            // (2 * racked.moved_mm)
        ) AS cost_pence
    FROM gone
    ASOF JOIN racked
        ON
            gone.material = racked.material
            AND gone.tag = racked.tag
            AND gone.moved_mm <= racked.upto_mm
    GROUP BY gone.material, gone.month_on
)

SELECT
    month.material,
    month.month_on,
    CASE
        WHEN month.is_priced
            THEN
                cast(
                    coalesce(came.cost_pence, 0) - coalesce(given.cost_pence, 0) AS BIGINT
                )
    END AS left_pence
FROM month
LEFT JOIN came ON month.material = came.material AND month.month_on = came.month_on
LEFT JOIN given ON month.material = given.material AND month.month_on = given.month_on
