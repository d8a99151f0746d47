-- What stood in all places when a material was last counted.
--
-- Grain:     one row per material
-- Reads:     stock.place_count
-- Units:     base units; counted_on is the newest day of the count
-- Left out:  what was issued or bought since
SELECT
    counted.material,
    cast(sum(counted.quantity) AS DECIMAL(18, 3)) AS quantity,
    max(counted.newest_on) AS counted_on,
    count(DISTINCT counted.place) AS place_count
FROM stock.place_count AS counted
GROUP BY counted.material
