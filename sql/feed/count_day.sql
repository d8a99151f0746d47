-- How much of a material was counted on a day, and how far the count can be out.
--
-- Grain:     one row per material, counted_on
-- Reads:     ledger.stock_counts, ledger.materials, setting.counting, usage.calendar
-- Units:     base units; variance in base units squared, counted rows taken as independent. An open
--            pack that was weighed is out by the weighing error of the settings, one that was
--            judged, or a quantity that is no whole number of packs, by their share of a pack
--            (without a pack, of the quantity); whole packs, pieces and measured lengths are
--            exact. sealed: without what open packs hold; lots: without pieces shorter than a new
--            length or sheet, which lie on the rack and carry their cost there. missing_places:
--            those in which the material stood when they were last counted, and that were not
--            counted on this day
-- Left out:  counts after the day that the run stands for; wrong readings of whole packs
WITH
entry AS (
    SELECT
        row_counted.material,
        row_counted.counted_on,
        row_counted.place,
        row_counted.quantity,
        counting.judged_error_ratio,
        coalesce(
            row_counted.length_mm < coalesce(item.stock_length_mm, item.length_mm), FALSE
        ) AS is_rack_piece,
        CASE
            WHEN coalesce(row_counted.part > 0 OR row_counted.part_gross_kg IS NOT NULL, FALSE)
                THEN
                    row_counted.quantity
                    - coalesce(row_counted.full_packs * item.pack_size, 0)
            ELSE 0
        END AS open_quantity,
        coalesce(item.pack_size, row_counted.quantity) AS pack_quantity,
        CASE
            WHEN row_counted.part_gross_kg IS NOT NULL
                THEN
                    CASE item.base_unit
                        WHEN 'kg' THEN counting.weighing_error_kg
                        WHEN 'l' THEN counting.weighing_error_kg / item.density_kg_per_l
                        WHEN 'm2' THEN counting.weighing_error_kg * 1000 / item.g_per_m2
                    END
            WHEN
                row_counted.length_mm IS NOT NULL
                OR (row_counted.full_packs IS NOT NULL AND coalesce(row_counted.part, 0) = 0)
                OR coalesce(row_counted.quantity % item.pack_size = 0, FALSE)
                AND coalesce(row_counted.part, 0) = 0
                THEN 0
        END AS known_error
    FROM ledger.stock_counts AS row_counted
    INNER JOIN usage.calendar AS calendar ON row_counted.counted_on <= calendar.as_of
    INNER JOIN ledger.materials AS item ON row_counted.material = item.material
    CROSS JOIN setting.counting AS counting
),

erring AS (
    SELECT
        entry.material,
        entry.counted_on,
        entry.quantity,
        entry.open_quantity,
        entry.is_rack_piece,
        cast(
            power(coalesce(entry.known_error, entry.judged_error_ratio * entry.pack_quantity), 2)
            AS DECIMAL(28, 6)
        ) AS variance
    FROM entry
),

total AS (
    SELECT
        erring.material,
        erring.counted_on,
        cast(sum(erring.quantity) AS DECIMAL(18, 3)) AS quantity,
        cast(sum(erring.quantity - erring.open_quantity) AS DECIMAL(18, 3)) AS sealed_quantity,
        cast(
            coalesce(sum(erring.quantity) FILTER (WHERE NOT erring.is_rack_piece), 0)
            AS DECIMAL(18, 3)
        ) AS lots_quantity,
        cast(
            coalesce(
                sum(erring.quantity - erring.open_quantity)
                FILTER (WHERE NOT erring.is_rack_piece),
                0
            ) AS DECIMAL(18, 3)
        ) AS lots_sealed_quantity,
        sum(erring.variance) AS variance,
        sum(erring.variance) FILTER (WHERE erring.open_quantity = 0) AS sealed_variance
    FROM erring
    GROUP BY erring.material, erring.counted_on
),

visit AS (
    SELECT
        entry.place,
        entry.counted_on,
        lead(entry.counted_on, 1, DATE '9999-12-31') OVER (
            PARTITION BY entry.place ORDER BY entry.counted_on
        ) AS next_on
    FROM entry
    GROUP BY entry.place, entry.counted_on
),

missed AS (
    SELECT
        total.material,
        total.counted_on,
        string_agg(DISTINCT stood.place, ', ' ORDER BY stood.place) AS places
    FROM total
    INNER JOIN entry AS stood
        ON
            total.material = stood.material
            AND total.counted_on > stood.counted_on
            AND stood.quantity > 0
    INNER JOIN visit
        ON
            stood.place = visit.place
            AND stood.counted_on = visit.counted_on
            AND total.counted_on < visit.next_on
    GROUP BY total.material, total.counted_on
)

SELECT
    total.material,
    total.counted_on,
    total.quantity,
    total.sealed_quantity,
    total.lots_quantity,
    total.lots_sealed_quantity,
    missed.places AS missing_places,
    cast(total.variance AS DOUBLE) AS variance,
    cast(coalesce(total.sealed_variance, 0) AS DOUBLE) AS sealed_variance
FROM total
LEFT JOIN missed ON total.material = missed.material AND total.counted_on = missed.counted_on
