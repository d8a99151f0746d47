-- Every material in force, with the usual figures of its kind where the firm gave none.
--
-- Grain:     one row per material
-- Reads:     ledger.materials_as_typed, setting.kind_default
-- Units:     as their names; default_columns names what is default and not the firm's own
-- Left out:  a density of catalyst: it differs too much between makes to be supposed
WITH
filled AS (
    SELECT
        typed.material,
        coalesce(typed.stock_length_mm, usual.stock_length_mm) AS stock_length_mm,
        coalesce(typed.lap_mm, usual.lap_mm) AS lap_mm,
        coalesce(typed.kerf_mm, usual.kerf_mm) AS kerf_mm,
        coalesce(typed.least_piece_mm, usual.least_piece_mm) AS least_piece_mm,
        coalesce(typed.keep_from_mm, usual.keep_from_mm) AS keep_from_mm,
        coalesce(typed.density_kg_per_l, usual.density_kg_per_l) AS density_kg_per_l
    FROM ledger.materials_as_typed AS typed
    LEFT JOIN setting.kind_default AS usual ON typed.kind = usual.kind
)

SELECT
    typed.material,
    typed.kind,
    typed.unit,
    typed.base_unit,
    typed.description,
    typed.colour,
    typed.learn_with,
    filled.stock_length_mm,
    typed.length_mm,
    typed.width_mm,
    typed.cover_width_mm,
    typed.corner_piece,
    typed.corner_cover_mm,
    typed.pack_size,
    typed.pieces_per_kg,
    filled.density_kg_per_l,
    typed.g_per_m2,
    typed.mass_kg_per_unit,
    typed.coverage_per_m2,
    typed.coverage_basis,
    filled.lap_mm,
    filled.kerf_mm,
    filled.least_piece_mm,
    filled.keep_from_mm,
    typed.shelf_life_days,
    typed.store_class,
    typed.costing,
    typed.tare_kg,
    typed.receipt_no,
    typed.sheet,
    typed.row_no,
    typed.part_no,
    nullif(
        concat_ws(
            ', ',
            CASE
                WHEN filled.stock_length_mm IS DISTINCT FROM typed.stock_length_mm
                    THEN 'stock_length_mm'
            END,
            CASE WHEN filled.lap_mm IS DISTINCT FROM typed.lap_mm THEN 'lap_mm' END,
            CASE WHEN filled.kerf_mm IS DISTINCT FROM typed.kerf_mm THEN 'kerf_mm' END,
            CASE
                WHEN filled.least_piece_mm IS DISTINCT FROM typed.least_piece_mm
                    THEN 'least_piece_mm'
            END,
            CASE
                WHEN filled.keep_from_mm IS DISTINCT FROM typed.keep_from_mm THEN 'keep_from_mm'
            END,
            CASE
                WHEN filled.density_kg_per_l IS DISTINCT FROM typed.density_kg_per_l
                    THEN 'density_kg_per_l'
            END
        ),
        ''
    ) AS default_columns
FROM ledger.materials_as_typed AS typed
INNER JOIN filled ON typed.material = filled.material
