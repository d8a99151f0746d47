-- When a material was first counted, and how much of it the lots begin with.
--
-- Grain:     one row per material that was counted
-- Reads:     feed.count_day, feed.issue_habit
-- Units:     base units, all places of that day together; a count stands at the end of its day.
--            Where jobs book whole packs, open packs are booked already and are not in
-- Left out:  pieces shorter than a new length or sheet: they lie on the rack and carry their cost
--            there; places first counted on a later day
SELECT
    counted.material,
    counted.counted_on,
    CASE WHEN habit.is_whole_packs THEN counted.lots_sealed_quantity ELSE counted.lots_quantity END
        AS quantity
FROM feed.count_day AS counted
LEFT JOIN feed.issue_habit AS habit ON counted.material = habit.material
QUALIFY row_number() OVER (PARTITION BY counted.material ORDER BY counted.counted_on ASC) = 1
