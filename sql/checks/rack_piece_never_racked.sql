-- A rack piece that was taken and never put there.
--
-- Severity:  warn
-- Grain:     one row per job_ref, material, piece at fault, and per material
-- Reads:     ledger.offcuts
-- Units:     m
-- Left out:  nothing
WITH
rack AS (
    SELECT
        moved.material,
        sum(moved.length_mm * moved.pieces) FILTER (WHERE moved.fate = 'from_rack') AS taken_mm,
        sum(moved.length_mm * moved.pieces) FILTER (WHERE moved.fate = 'racked') AS racked_mm
    FROM ledger.offcuts AS moved
    GROUP BY moved.material
),

doubted AS (
    SELECT
        taken.material || ' piece ' || taken.piece || ' was taken for job '
        || coalesce(taken.job_ref, 'not named') || ', and no record says that it was racked'
            AS fault
    FROM ledger.offcuts AS taken
    ANTI JOIN ledger.offcuts AS racked
        ON
            taken.material = racked.material
            AND taken.piece = racked.piece
            AND racked.fate = 'racked'
    WHERE taken.fate = 'from_rack' AND taken.piece IS NOT NULL
    UNION ALL
    SELECT
        rack.material || ': ' || round(rack.taken_mm / 1000, 1)
        || ' m were taken from the rack, and only '
        || round(coalesce(rack.racked_mm, 0) / 1000, 1) || ' m put there' AS fault
    FROM rack
    WHERE rack.taken_mm > coalesce(rack.racked_mm, 0)
)

SELECT doubted.fault
FROM doubted
ORDER BY doubted.fault
