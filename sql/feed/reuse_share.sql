-- Which share of the cost of a racked piece the rack takes over from the job, month by month.
--
-- Grain:     one row per month in which pieces moved
-- Reads:     feed.rack_move, setting.firm
-- Units:     share = numerator / denominator: m used again over m racked, of all moves before the
--            month, at most 1; the settings' share until 20 pieces had been racked: `how` says it
-- Left out:  what was scrapped: it counts as racked and not used
WITH
monthly AS (
    SELECT
        cast(date_trunc('month', moved.moved_on) AS DATE) AS month_on,
        coalesce(sum(moved.moved_mm) FILTER (WHERE moved.fate = 'from_rack'), 0) AS used_mm,
        coalesce(sum(moved.moved_mm) FILTER (WHERE moved.fate = 'racked'), 0) AS racked_mm,
        coalesce(sum(moved.pieces) FILTER (WHERE moved.fate = 'racked'), 0) AS racked_count
    FROM feed.rack_move AS moved
    GROUP BY cast(date_trunc('month', moved.moved_on) AS DATE)
),

earlier AS (
    SELECT
        monthly.month_on,
        cast(coalesce(sum(monthly.used_mm) OVER before_it, 0) AS HUGEINT) AS used_mm,
        cast(coalesce(sum(monthly.racked_mm) OVER before_it, 0) AS HUGEINT) AS racked_mm,
        cast(coalesce(sum(monthly.racked_count) OVER before_it, 0) AS BIGINT) AS racked_count
    FROM monthly
    WINDOW before_it AS (
        ORDER BY monthly.month_on ASC ROWS BETWEEN UNBOUNDED PRECEDING AND 1 PRECEDING
    )
)

SELECT
    earlier.month_on,
    earlier.used_mm,
    earlier.racked_mm,
    earlier.racked_count,
    CASE
        WHEN earlier.racked_count >= 20 THEN least(earlier.used_mm, earlier.racked_mm)
        ELSE cast(firm.reuse_share_ratio * 1000000 AS HUGEINT)
    END AS share_numerator,
    CASE
        WHEN earlier.racked_count >= 20 THEN earlier.racked_mm
        ELSE cast(1000000 AS HUGEINT)
    END AS share_denominator,
    CASE WHEN earlier.racked_count >= 20 THEN 'own' ELSE 'setting' END AS how
FROM earlier
CROSS JOIN setting.firm AS firm
