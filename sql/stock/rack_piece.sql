-- Which pieces of trim lie on the rack: as last counted, and what was racked and taken since.
--
-- Grain:     one row per material, length_mm
-- Reads:     ledger.stock_counts, ledger.materials, feed.rack_move, setting.firm, usage.calendar
-- Units:     mm; pieces of that length. Each place as it was counted last: a count touches the
--            pieces of the trims and places that it lists by length, or as nothing at all, and no
--            others. A move names no place and is the yard's: it stands where it is later than the
--            trim's last count there, else in any place; a piece taken lowers those of its length
-- Left out:  trims never counted, whole new lengths, lengths of which none is left
WITH
listed AS (
    SELECT
        counted.material,
        counted.counted_on,
        counted.length_mm,
        counted.pieces,
        counted.place,
        firm.yard
    FROM ledger.stock_counts AS counted
    INNER JOIN usage.calendar AS calendar ON counted.counted_on <= calendar.as_of
    INNER JOIN ledger.materials AS item ON counted.material = item.material
    CROSS JOIN setting.firm AS firm
    WHERE
        item.kind = 'trim'
        AND (counted.length_mm IS NOT NULL OR coalesce(counted.quantity, 0) = 0)
),

last_day AS (
    SELECT
        listed.material,
        listed.place,
        max(listed.counted_on) AS counted_on
    FROM listed
    GROUP BY listed.material, listed.place
),

last_count AS (
    SELECT
        listed.material,
        coalesce(
            max(listed.counted_on) FILTER (WHERE listed.place = listed.yard),
            max(listed.counted_on)
        ) AS counted_on
    FROM listed
    GROUP BY listed.material
),

piece AS (
    SELECT
        listed.material,
        listed.length_mm,
        listed.pieces
    FROM listed
    INNER JOIN last_day
        ON
            listed.material = last_day.material
            AND listed.place = last_day.place
            AND listed.counted_on = last_day.counted_on
    WHERE listed.length_mm IS NOT NULL
    UNION ALL
    SELECT
        moved.material,
        moved.length_mm,
        CASE moved.fate WHEN 'racked' THEN moved.pieces ELSE -moved.pieces END AS pieces
    FROM feed.rack_move AS moved
    INNER JOIN last_count
        ON moved.material = last_count.material AND moved.moved_on > last_count.counted_on
)

SELECT
    piece.material,
    piece.length_mm,
    cast(sum(piece.pieces) AS BIGINT) AS pieces
FROM piece
INNER JOIN ledger.materials AS item ON piece.material = item.material
WHERE piece.length_mm < item.stock_length_mm
GROUP BY piece.material, piece.length_mm
HAVING sum(piece.pieces) > 0
