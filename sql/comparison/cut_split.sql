-- Where the trim, batten and board of each finished job went: onto the roof, into laps, and lost.
--
-- Grain:     one row per job_ref, material
-- Reads:     usage.job_quantity, ledger.jobs, result.cut_job
-- Units:     base units; used = net + lap + unavoidable + avoidable + unexplained, to the last
--            digit. Against the best plan of the edges as fitted, from new lengths: laps are its
--            laps, unavoidable what it bins and its cuts take; avoidable what was binned beyond it;
--            unexplained the rest. Where a card writes down nothing of the kind as binned,
--            avoidable and unexplained are one figure, beyond_plan. A part below 0 stands as it is
--            and is named in below_zero
-- Left out:  jobs without use, without fitted edges, or with a plan that could not be made
WITH
part AS (
    SELECT
        used.job_ref,
        used.material,
        used.kind,
        used.base_unit,
        job.job_type,
        job.crew,
        job.completed_on,
        used.used_quantity,
        best.is_proven,
        best.how,
        best.lengths_count,
        cast(best.used_up_quantity AS DECIMAL(18, 3)) AS plan_quantity,
        cast(best.net_quantity AS DECIMAL(18, 3)) AS net_quantity,
        cast(best.lap_quantity AS DECIMAL(18, 3)) AS lap_quantity,
        cast(best.binned_quantity + best.kerf_quantity AS DECIMAL(18, 3)) AS unavoidable_quantity,
        cast(
            coalesce(used.binned_quantity, 0) - best.binned_quantity AS DECIMAL(18, 3)
        ) AS binned_beyond_quantity,
        bool_or(used.binned_quantity IS NOT NULL)
            OVER (PARTITION BY used.job_ref, used.kind)
            AS has_offcuts
    FROM usage.job_quantity AS used
    INNER JOIN ledger.jobs AS job ON used.job_ref = job.job_ref
    INNER JOIN result.cut_job AS best
        ON
            used.job_ref = best.job_ref
            AND used.material = best.material
            AND best.stage = 'fitted'
            AND best.plan = 'best'
    WHERE
        job.status = 'completed'
        AND used.kind IN ('trim', 'batten', 'board')
        AND used.used_quantity IS NOT NULL
        AND best.used_up_quantity IS NOT NULL
),

summed AS (
    SELECT
        part.job_ref,
        part.material,
        part.kind,
        part.base_unit,
        part.job_type,
        part.crew,
        part.completed_on,
        part.used_quantity,
        part.has_offcuts,
        part.is_proven,
        part.how,
        part.lengths_count,
        part.plan_quantity,
        part.net_quantity,
        part.lap_quantity,
        part.unavoidable_quantity,
        part.binned_beyond_quantity,
        part.used_quantity - part.net_quantity - part.lap_quantity - part.unavoidable_quantity
            AS beyond_plan_quantity
    FROM part
),

split AS (
    SELECT
        summed.job_ref,
        summed.material,
        summed.kind,
        summed.base_unit,
        summed.job_type,
        summed.crew,
        summed.completed_on,
        summed.used_quantity,
        summed.is_proven,
        summed.how,
        summed.lengths_count,
        summed.plan_quantity,
        summed.net_quantity,
        summed.lap_quantity,
        summed.unavoidable_quantity,
        summed.beyond_plan_quantity,
        CASE WHEN summed.has_offcuts THEN summed.binned_beyond_quantity END AS avoidable_quantity,
        CASE
            WHEN summed.has_offcuts
                THEN summed.beyond_plan_quantity - summed.binned_beyond_quantity
        END AS unexplained_quantity
    FROM summed
)

SELECT
    split.job_ref,
    split.material,
    split.kind,
    split.base_unit,
    split.job_type,
    split.crew,
    split.completed_on,
    split.used_quantity,
    split.net_quantity,
    split.lap_quantity,
    split.unavoidable_quantity,
    split.avoidable_quantity,
    split.unexplained_quantity,
    split.beyond_plan_quantity,
    split.plan_quantity,
    split.lengths_count,
    split.is_proven,
    split.how,
    nullif(
        concat_ws(
            ', ',
            CASE WHEN split.avoidable_quantity < 0 THEN 'avoidable' END,
            CASE WHEN split.unexplained_quantity < 0 THEN 'unexplained' END,
            CASE
                WHEN split.avoidable_quantity IS NULL AND split.beyond_plan_quantity < 0
                    THEN 'beyond the plan'
            END
        ),
        ''
    ) AS below_zero
FROM split
