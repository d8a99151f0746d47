-- A material whose counts and movements, taken in one sum, do not come to its differences.
--
-- Severity:  stop
-- Grain:     one row per material at fault
-- Reads:     stock.count_interval, feed.stock_move
-- Units:     base units. The first count + every movement up to the last - the last count must be
--            the sum of the differences, and each span must open with what the last one closed with
-- Left out:  movements up to the day of the first count, and after the last
WITH
span AS (
    SELECT
        counted.material,
        counted.from_on,
        counted.to_on,
        counted.opening_quantity,
        counted.closing_quantity,
        counted.difference_quantity,
        coalesce(
            counted.opening_quantity != lag(counted.closing_quantity) OVER (
                PARTITION BY counted.material ORDER BY counted.to_on
            ),
            FALSE
        ) AS is_broken
    FROM stock.count_interval AS counted
),

whole AS (
    SELECT
        span.material,
        min(span.from_on) AS from_on,
        max(span.to_on) AS to_on,
        arg_min(span.opening_quantity, span.to_on) AS opening_quantity,
        arg_max(span.closing_quantity, span.to_on) AS closing_quantity,
        sum(span.difference_quantity) AS difference_quantity,
        bool_or(span.is_broken) AS is_broken
    FROM span
    GROUP BY span.material
),

moved AS (
    SELECT
        whole.material,
        sum(flow.quantity) AS quantity
    FROM whole
    INNER JOIN feed.stock_move AS flow
        ON
            whole.material = flow.material
            AND whole.from_on < flow.moved_on
            AND whole.to_on >= flow.moved_on
    GROUP BY whole.material
)

SELECT
    whole.material || ': counts and movements from ' || whole.from_on || ' to ' || whole.to_on
    || ' come to '
    || (whole.opening_quantity + coalesce(moved.quantity, 0) - whole.closing_quantity)
    || ', the differences to ' || whole.difference_quantity AS fault
FROM whole
LEFT JOIN moved ON whole.material = moved.material
WHERE
    whole.is_broken
    OR whole.opening_quantity + coalesce(moved.quantity, 0) - whole.closing_quantity
    != whole.difference_quantity
ORDER BY whole.material
