-- What each job was quoted, was allowed, took out, brought back and used of each material.
--
-- Grain:     one row per job_ref, material
-- Reads:     ledger.job_materials, ledger.offcuts, ledger.materials
-- Units:     base units of the material; rack pieces in m, of sheets in m2
-- Left out:  use where nothing was issued nor taken from the rack: not recorded is never 0
WITH
card AS (
    SELECT
        entry.job_ref,
        entry.material,
        cast(sum(entry.issued_quantity) AS DECIMAL(18, 3)) AS issued_quantity,
        cast(sum(entry.returned_quantity) AS DECIMAL(18, 3)) AS returned_quantity,
        max(entry.quoted_net_quantity) AS quoted_net_quantity,
        max(entry.estimated_quantity) AS estimated_quantity,
        max(entry.fitted_net_quantity) AS fitted_net_quantity,
        string_agg(DISTINCT entry.how, ', ' ORDER BY entry.how) AS how,
        count(*) AS entry_count
    FROM ledger.job_materials AS entry
    GROUP BY entry.job_ref, entry.material
),

piece AS (
    SELECT
        moved.job_ref,
        moved.material,
        moved.fate,
        CASE item.base_unit
            WHEN 'm' THEN cast(moved.length_mm * moved.pieces AS DECIMAL(18, 3)) / 1000
            WHEN 'm2'
                THEN
                    cast(moved.length_mm * item.width_mm * moved.pieces AS DECIMAL(18, 3)) / 1000000
        END AS quantity
    FROM ledger.offcuts AS moved
    INNER JOIN ledger.materials AS item ON moved.material = item.material
    WHERE moved.job_ref IS NOT NULL
),

rack AS (
    SELECT
        piece.job_ref,
        piece.material,
        cast(sum(piece.quantity) FILTER (WHERE piece.fate = 'from_rack') AS DECIMAL(18, 3))
            AS from_rack_quantity,
        cast(sum(piece.quantity) FILTER (WHERE piece.fate = 'racked') AS DECIMAL(18, 3))
            AS racked_quantity,
        cast(sum(piece.quantity) FILTER (WHERE piece.fate = 'binned') AS DECIMAL(18, 3))
            AS binned_quantity
    FROM piece
    GROUP BY piece.job_ref, piece.material
),

moved AS (
    SELECT
        card.quoted_net_quantity,
        card.estimated_quantity,
        card.fitted_net_quantity,
        card.issued_quantity,
        card.returned_quantity,
        rack.from_rack_quantity,
        rack.racked_quantity,
        rack.binned_quantity,
        card.how,
        coalesce(card.job_ref, rack.job_ref) AS job_ref,
        coalesce(card.material, rack.material) AS material,
        coalesce(card.entry_count, 0) AS entry_count,
        CASE
            WHEN coalesce(card.issued_quantity, rack.from_rack_quantity) IS NOT NULL
                THEN
                    coalesce(card.issued_quantity, 0)
                    + coalesce(rack.from_rack_quantity, 0)
                    - coalesce(card.returned_quantity, 0)
        END AS drawn_quantity
    FROM card
    FULL OUTER JOIN rack ON card.job_ref = rack.job_ref AND card.material = rack.material
)

SELECT
    moved.job_ref,
    moved.material,
    item.kind,
    item.base_unit,
    moved.quoted_net_quantity,
    moved.estimated_quantity,
    moved.fitted_net_quantity,
    moved.issued_quantity,
    moved.returned_quantity,
    moved.from_rack_quantity,
    moved.racked_quantity,
    moved.binned_quantity,
    moved.how,
    moved.entry_count,
    cast(moved.drawn_quantity AS DECIMAL(18, 3)) AS drawn_quantity,
    cast(moved.drawn_quantity - coalesce(moved.racked_quantity, 0) AS DECIMAL(18, 3))
        AS used_quantity
FROM moved
INNER JOIN ledger.materials AS item ON moved.material = item.material
