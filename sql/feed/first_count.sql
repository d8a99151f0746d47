-- When a material was first counted, and how much there was.
--
-- Grain:     one row per material that was counted
-- Reads:     ledger.stock_counts, ledger.materials, usage.calendar
-- Units:     base units, all places of that day together; a count stands at the end of its day
-- Left out:  pieces shorter than a new length or sheet: they lie on the rack and carry their cost
--            there; places first counted on a later day
WITH
counted AS (
    SELECT
        entry.material,
        entry.counted_on,
        sum(entry.quantity) FILTER (
            WHERE
            entry.length_mm IS NULL
            OR entry.length_mm >= coalesce(item.stock_length_mm, item.length_mm, entry.length_mm)
        ) AS quantity
    FROM ledger.stock_counts AS entry
    INNER JOIN usage.calendar AS calendar ON entry.counted_on <= calendar.as_of
    INNER JOIN ledger.materials AS item ON entry.material = item.material
    GROUP BY entry.material, entry.counted_on
)

SELECT
    counted.material,
    counted.counted_on,
    cast(coalesce(counted.quantity, 0) AS DECIMAL(18, 3)) AS quantity
FROM counted
QUALIFY row_number() OVER (PARTITION BY counted.material ORDER BY counted.counted_on ASC) = 1
