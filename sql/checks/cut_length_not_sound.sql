-- A length of the best plan from which more is cut than it holds, or which is no new length.
--
-- Severity:  stop
-- Grain:     one row per job_ref, material, stage, length_no at fault
-- Reads:     feed.cut_run, result.cut_piece
-- Units:     mm
-- Left out:  pieces of a material of which no run is planned
WITH
rule AS (
    SELECT DISTINCT
        run.job_ref,
        run.material,
        run.stage,
        run.stock_length_mm,
        run.kerf_mm
    FROM feed.cut_run AS run
),

cut AS (
    SELECT
        piece.job_ref,
        piece.material,
        piece.stage,
        piece.length_no,
        rule.stock_length_mm,
        min(piece.length_mm) AS shortest_mm,
        max(piece.length_mm) AS longest_mm,
        min(piece.piece_mm) AS least_mm,
        sum(piece.piece_mm) + rule.kerf_mm * (count(*) - 1) AS taken_mm
    FROM result.cut_piece AS piece
    INNER JOIN rule
        ON
            piece.job_ref = rule.job_ref
            AND piece.material = rule.material
            AND piece.stage = rule.stage
    GROUP BY
        piece.job_ref, piece.material, piece.stage, piece.length_no, rule.stock_length_mm,
        rule.kerf_mm
)

SELECT
    'job ' || cut.job_ref || ' ' || cut.material || ' as ' || cut.stage || ', length '
    || cut.length_no || ': ' || cut.taken_mm || ' mm are cut from ' || cut.shortest_mm
    || ' mm, a new length is ' || cut.stock_length_mm || ' mm' AS fault
FROM cut
WHERE
    cut.taken_mm > cut.shortest_mm
    OR cut.least_mm <= 0
    OR cut.shortest_mm != cut.stock_length_mm
    OR cut.longest_mm != cut.stock_length_mm
ORDER BY cut.job_ref, cut.material, cut.stage, cut.length_no
