-- Sizes of materials that no record gave: the usual ones of their kind stand in for them.
--
-- Grain:     one row per material, column_name
-- Reads:     ledger.materials
-- Units:     said: the size in words, mm or kg per l
-- Left out:  sizes of the firm's own; sizes that neither the firm nor its kind has
WITH
named AS (
    SELECT
        item.material,
        item.kind,
        item.stock_length_mm,
        item.lap_mm,
        item.kerf_mm,
        item.least_piece_mm,
        item.keep_from_mm,
        item.density_kg_per_l,
        unnest(string_split(item.default_columns, ', ')) AS column_name
    FROM ledger.materials AS item
    WHERE item.default_columns IS NOT NULL
)

SELECT
    named.material,
    named.kind,
    named.column_name,
    CASE named.column_name
        WHEN 'stock_length_mm' THEN 'length ' || named.stock_length_mm || ' mm'
        WHEN 'lap_mm' THEN 'overlap ' || named.lap_mm || ' mm'
        WHEN 'kerf_mm' THEN 'saw cut ' || named.kerf_mm || ' mm'
        WHEN 'least_piece_mm' THEN 'shortest piece ' || named.least_piece_mm || ' mm'
        WHEN 'keep_from_mm' THEN 'kept from ' || named.keep_from_mm || ' mm'
        WHEN 'density_kg_per_l'
            THEN 'density ' || printf('%g', cast(named.density_kg_per_l AS DOUBLE)) || ' kg per l'
    END AS said
FROM named
ORDER BY named.material, named.column_name
