-- Whose price is taken for a material: the usual supplier of the settings, else the last one.
--
-- Grain:     one row per material
-- Reads:     ledger.materials, setting.supplier_for, stock.bought_line
-- Units:     pack_size in base units: the firm's own, else the last bought
-- Left out:  materials without a usual supplier that were never bought
WITH
last_line AS (
    SELECT
        line.material,
        line.supplier,
        line.pack_size
    FROM stock.bought_line AS line
    QUALIFY
        row_number() OVER (
            PARTITION BY line.material
            ORDER BY line.bought_on DESC, line.supplier ASC, line.document_no ASC, line.line_no ASC
        ) = 1
)

SELECT
    item.material,
    coalesce(usual.supplier, last_line.supplier) AS supplier,
    coalesce(item.pack_size, last_line.pack_size) AS pack_size
FROM ledger.materials AS item
LEFT JOIN setting.supplier_for AS usual ON item.material = usual.material
LEFT JOIN last_line ON item.material = last_line.material
WHERE coalesce(usual.supplier, last_line.supplier) IS NOT NULL
