-- Which pieces of trim lie on the rack: as last counted, and what was racked and taken since.
--
-- Grain:     one row per material, length_mm
-- Reads:     ledger.stock_counts, ledger.materials, feed.rack_move
-- Units:     mm; pieces of that length. The last day on which the trim was counted, whatever the
--            place; a piece taken lowers those of its own length
-- Left out:  trims never counted, whole new lengths, lengths of which none is left
WITH
last_day AS (
    SELECT
        counted.material,
        max(counted.counted_on) AS counted_on
    FROM ledger.stock_counts AS counted
    INNER JOIN ledger.materials AS item ON counted.material = item.material
    WHERE item.kind = 'trim'
    GROUP BY counted.material
),

piece AS (
    SELECT
        counted.material,
        counted.length_mm,
        counted.pieces
    FROM ledger.stock_counts AS counted
    INNER JOIN last_day
        ON counted.material = last_day.material AND counted.counted_on = last_day.counted_on
    WHERE counted.length_mm IS NOT NULL
    UNION ALL
    SELECT
        moved.material,
        moved.length_mm,
        CASE moved.fate WHEN 'racked' THEN moved.pieces ELSE -moved.pieces END AS pieces
    FROM feed.rack_move AS moved
    INNER JOIN last_day
        ON moved.material = last_day.material AND moved.moved_on > last_day.counted_on
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
