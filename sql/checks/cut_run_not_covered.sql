-- A run that the pieces of the best plan do not cover exactly, or not as it may be joined.
--
-- Severity:  stop
-- Grain:     one row per job_ref, material, stage, edge_no and breach
-- Reads:     feed.cut_run, result.cut_job, result.cut_piece
-- Units:     mm
-- Left out:  plans that could not be made
WITH
ruled AS (
    SELECT DISTINCT
        run.job_ref,
        run.material,
        run.stage,
        run.edge_no,
        run.run_mm,
        run.lap_mm,
        run.joint_rule,
        greatest(run.least_piece_mm, run.lap_mm + 1) AS least_mm,
        (run.run_mm - run.lap_mm + run.stock_length_mm - run.lap_mm - 1)
        // (run.stock_length_mm - run.lap_mm) AS fewest_count
    FROM feed.cut_run AS run
    INNER JOIN result.cut_job AS job
        ON
            run.job_ref = job.job_ref
            AND run.material = job.material
            AND run.stage = job.stage
    WHERE job.plan = 'best' AND job.problem IS NULL
),

cut AS (
    SELECT
        piece.job_ref,
        piece.material,
        piece.stage,
        piece.edge_no,
        count(*) AS piece_count,
        count(DISTINCT piece.length_no) AS length_count,
        sum(piece.piece_mm) AS cut_mm,
        min(piece.piece_mm) AS shortest_mm
    FROM result.cut_piece AS piece
    GROUP BY piece.job_ref, piece.material, piece.stage, piece.edge_no
),

covered AS (
    SELECT
        ruled.run_mm,
        ruled.least_mm,
        ruled.joint_rule,
        ruled.fewest_count,
        cut.shortest_mm,
        coalesce(ruled.job_ref, cut.job_ref) AS job_ref,
        coalesce(ruled.material, cut.material) AS material,
        coalesce(ruled.stage, cut.stage) AS stage,
        coalesce(ruled.edge_no, cut.edge_no) AS edge_no,
        coalesce(cut.piece_count, 0) AS piece_count,
        coalesce(cut.length_count, 0) AS length_count,
        coalesce(cut.cut_mm - ruled.lap_mm * (cut.piece_count - 1), 0) AS covered_mm
    FROM ruled
    FULL JOIN cut
        ON
            ruled.job_ref = cut.job_ref
            AND ruled.material = cut.material
            AND ruled.stage = cut.stage
            AND ruled.edge_no = cut.edge_no
),

broken AS (
    SELECT
        covered.job_ref,
        covered.material,
        covered.stage,
        covered.edge_no,
        'pieces are cut for a run that is not planned' AS breach
    FROM covered
    WHERE covered.run_mm IS NULL
    UNION ALL
    SELECT
        covered.job_ref,
        covered.material,
        covered.stage,
        covered.edge_no,
        covered.covered_mm || ' mm of its ' || covered.run_mm || ' mm are covered' AS breach
    FROM covered
    WHERE covered.covered_mm != covered.run_mm
    UNION ALL
    SELECT
        covered.job_ref,
        covered.material,
        covered.stage,
        covered.edge_no,
        covered.piece_count || ' pieces come from ' || covered.length_count || ' lengths' AS breach
    FROM covered
    WHERE covered.length_count < covered.piece_count
    UNION ALL
    SELECT
        covered.job_ref,
        covered.material,
        covered.stage,
        covered.edge_no,
        covered.piece_count || ' pieces, where ' || covered.fewest_count || ' are forced' AS breach
    FROM covered
    WHERE
        covered.piece_count < covered.fewest_count
        OR (covered.joint_rule = 'forced_only' AND covered.piece_count != covered.fewest_count)
    UNION ALL
    SELECT
        covered.job_ref,
        covered.material,
        covered.stage,
        covered.edge_no,
        'a joined piece of ' || covered.shortest_mm || ' mm, the least is ' || covered.least_mm
        || ' mm' AS breach
    FROM covered
    WHERE covered.piece_count > 1 AND covered.shortest_mm < covered.least_mm
)

SELECT
    'job ' || broken.job_ref || ' ' || broken.material || ' as ' || broken.stage || ', edge '
    || broken.edge_no || ': ' || broken.breach AS fault
FROM broken
ORDER BY broken.job_ref, broken.material, broken.stage, broken.edge_no, broken.breach
