-- What was counted last, place by place, piece by piece and lot by lot.
--
-- Grain:     one row per material, place, lot, length_mm
-- Reads:     ledger.stock_counts, usage.calendar
-- Units:     base units; newest_on is the material's newest count in any place
-- Left out:  counts after the day that the run stands for; places last counted more than 31 days
--            before the material's newest count; what a place held before, where its list of a
--            later day, up to that newest count, no longer names the material
WITH
counted AS (
    SELECT
        entry.material,
        entry.place,
        entry.lot,
        entry.length_mm,
        entry.counted_on,
        cast(sum(entry.quantity) AS DECIMAL(18, 3)) AS quantity,
        max(entry.expires_on) AS expires_on
    FROM ledger.stock_counts AS entry
    INNER JOIN usage.calendar AS calendar ON entry.counted_on <= calendar.as_of
    GROUP BY entry.material, entry.place, entry.lot, entry.length_mm, entry.counted_on
),

newest AS (
    SELECT
        counted.material,
        counted.place,
        counted.lot,
        counted.length_mm,
        counted.counted_on,
        counted.quantity,
        counted.expires_on,
        max(counted.counted_on) OVER (PARTITION BY counted.material) AS newest_on
    FROM counted
    QUALIFY
        counted.counted_on
        = max(counted.counted_on) OVER (PARTITION BY counted.material, counted.place)
)

SELECT
    newest.material,
    newest.place,
    newest.lot,
    newest.length_mm,
    newest.counted_on,
    newest.newest_on,
    newest.quantity,
    newest.expires_on
FROM newest
ANTI JOIN counted AS later
    ON
        newest.place = later.place
        AND newest.counted_on < later.counted_on
        AND newest.newest_on >= later.counted_on
WHERE newest.counted_on >= newest.newest_on - 31
