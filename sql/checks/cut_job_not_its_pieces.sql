-- A best plan of a trim or batten whose figures are not those of its runs and pieces.
--
-- Severity:  stop
-- Grain:     one row per job_ref, material, stage and figure at fault
-- Reads:     feed.cut_run, result.cut_job, result.cut_piece
-- Units:     mm; figures of the plan are in m
-- Left out:  plans that could not be made
WITH
wanted AS (
    SELECT
        run.job_ref,
        run.material,
        run.stage,
        count(*) AS run_count,
        sum(run.run_mm) AS run_mm,
        min(run.lap_mm) AS lap_mm,
        min(run.kerf_mm) AS kerf_mm,
        min(run.keep_from_mm) AS keep_from_mm
    FROM feed.cut_run AS run
    GROUP BY run.job_ref, run.material, run.stage
),

cut AS (
    SELECT
        piece.job_ref,
        piece.material,
        piece.stage,
        piece.length_no,
        count(*) AS piece_count,
        min(piece.length_mm) AS length_mm,
        sum(piece.piece_mm) AS cut_mm
    FROM result.cut_piece AS piece
    GROUP BY piece.job_ref, piece.material, piece.stage, piece.length_no
),

sawn AS (
    SELECT
        cut.job_ref,
        cut.material,
        cut.stage,
        cut.piece_count,
        wanted.keep_from_mm,
        least(cut.piece_count * wanted.kerf_mm, cut.length_mm - cut.cut_mm) AS kerf_mm,
        greatest(cut.length_mm - cut.cut_mm - cut.piece_count * wanted.kerf_mm, 0) AS left_mm
    FROM cut
    INNER JOIN wanted
        ON
            cut.job_ref = wanted.job_ref
            AND cut.material = wanted.material
            AND cut.stage = wanted.stage
),

summed AS (
    SELECT
        sawn.job_ref,
        sawn.material,
        sawn.stage,
        count(*) AS length_count,
        sum(sawn.piece_count) AS piece_count,
        sum(sawn.kerf_mm) AS kerf_mm,
        sum(CASE WHEN sawn.left_mm >= sawn.keep_from_mm THEN sawn.left_mm ELSE 0 END) AS kept_mm,
        sum(CASE WHEN sawn.left_mm < sawn.keep_from_mm THEN sawn.left_mm ELSE 0 END) AS binned_mm
    FROM sawn
    GROUP BY sawn.job_ref, sawn.material, sawn.stage
),

held AS (
    SELECT
        job.job_ref,
        job.material,
        job.stage,
        unnest(
            ['lengths', 'joins', 'mm of runs', 'mm of laps', 'mm of cuts', 'mm kept', 'mm binned']
        ) AS figure,
        unnest(
            [
                job.lengths_count,
                job.joints_count,
                job.net_quantity * 1000,
                job.lap_quantity * 1000,
                job.kerf_quantity * 1000,
                job.kept_quantity * 1000,
                job.binned_quantity * 1000
            ]
        ) AS said_figure,
        unnest(
            [
                summed.length_count,
                summed.piece_count - wanted.run_count,
                wanted.run_mm,
                (summed.piece_count - wanted.run_count) * wanted.lap_mm,
                summed.kerf_mm,
                summed.kept_mm,
                summed.binned_mm
            ]
        ) AS found_figure
    FROM result.cut_job AS job
    INNER JOIN wanted
        ON
            job.job_ref = wanted.job_ref
            AND job.material = wanted.material
            AND job.stage = wanted.stage
    LEFT JOIN summed
        ON
            job.job_ref = summed.job_ref
            AND job.material = summed.material
            AND job.stage = summed.stage
    WHERE job.plan = 'best' AND job.problem IS NULL
)

SELECT
    'job ' || held.job_ref || ' ' || held.material || ' as ' || held.stage || ': '
    || coalesce(rtrim(rtrim(cast(held.said_figure AS VARCHAR), '0'), '.'), 'no') || ' '
    || held.figure || ' in the plan, '
    || coalesce(cast(held.found_figure AS VARCHAR), 'none') || ' by its pieces' AS fault
FROM held
WHERE held.said_figure IS DISTINCT FROM held.found_figure
ORDER BY held.job_ref, held.material, held.stage, held.figure
