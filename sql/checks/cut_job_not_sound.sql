-- A plan whose figures do not go together, or a best plan that another one beats.
--
-- Severity:  stop
-- Grain:     one row per job_ref, material, stage, plan and breach
-- Reads:     result.cut_job
-- Units:     base units
-- Left out:  plans that could not be made; mats, whose plan without re-use is no roof's own lengths
WITH
made AS (
    SELECT
        job.job_ref,
        job.material,
        job.stage,
        job.plan,
        job.kind,
        job.used_up_quantity,
        job.bound_quantity,
        job.is_proven,
        job.net_quantity + job.lap_quantity + job.kerf_quantity + job.binned_quantity
            AS parts_quantity
    FROM result.cut_job AS job
    WHERE job.problem IS NULL
),

broken AS (
    SELECT
        made.job_ref,
        made.material,
        made.stage,
        made.plan,
        made.used_up_quantity || ' is used up, its parts are ' || made.parts_quantity AS breach
    FROM made
    WHERE made.used_up_quantity IS DISTINCT FROM made.parts_quantity
    UNION ALL
    SELECT
        made.job_ref,
        made.material,
        made.stage,
        made.plan,
        made.used_up_quantity || ' is used up, less than the bound of ' || made.bound_quantity
            AS breach
    FROM made
    WHERE made.bound_quantity > made.used_up_quantity
    UNION ALL
    SELECT
        made.job_ref,
        made.material,
        made.stage,
        made.plan,
        'called proven, with a bound of ' || coalesce(cast(made.bound_quantity AS VARCHAR), 'none')
        || ' for ' || made.used_up_quantity AS breach
    FROM made
    WHERE made.is_proven AND made.bound_quantity IS DISTINCT FROM made.used_up_quantity
    UNION ALL
    SELECT
        best.job_ref,
        best.material,
        best.stage,
        best.plan,
        best.used_up_quantity || ' is used up, ' || unshared.used_up_quantity || ' without re-use'
            AS breach
    FROM made AS best
    INNER JOIN made AS unshared
        ON
            best.job_ref = unshared.job_ref
            AND best.material = unshared.material
            AND best.stage = unshared.stage
    WHERE
        best.plan = 'best'
        AND unshared.plan = 'no re-use'
        AND best.kind IN ('trim', 'batten', 'board')
        AND best.used_up_quantity > unshared.used_up_quantity
)

SELECT
    'job ' || broken.job_ref || ' ' || broken.material || ' as ' || broken.stage || ', plan '
    || broken.plan || ': ' || broken.breach AS fault
FROM broken
ORDER BY broken.job_ref, broken.material, broken.stage, broken.plan, broken.breach
