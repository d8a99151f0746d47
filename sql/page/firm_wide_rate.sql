-- What goes of a material for a square metre of roof over the whole firm, where no job tells.
--
-- Grain:     one row per material
-- Reads:     learn.consumable_rate, result.shared_use, result.shared_job, ledger.jobs
-- Units:     base units over m2; low and high: two standard errors either way, by how months or
--            the spans between counts differ; low is never below 0. source_label: booked to jobs,
--            bought, or counted (from count to count, shared out)
-- Left out:  consumables that counts tell of are not told from purchases; roofs without an area;
--            counts that tell no ratio
WITH
laid AS (
    SELECT
        shared.material,
        count(*) AS job_count,
        cast(sum(shared.shared_quantity) AS DOUBLE) / cast(sum(job.area_m2) AS DOUBLE) AS rate
    FROM result.shared_job AS shared
    INNER JOIN ledger.jobs AS job ON shared.job_ref = job.job_ref AND job.area_m2 > 0
    GROUP BY shared.material
),

counted AS (
    SELECT
        used.material,
        used.base_unit,
        laid.job_count,
        laid.rate,
        'counted' AS source_label,
        laid.rate * used.standard_error_ratio / (1 + used.use_ratio) AS standard_error_rate
    FROM result.shared_use AS used
    INNER JOIN laid ON used.material = laid.material
    WHERE used.use_ratio > -1 AND used.standard_error_ratio IS NOT NULL
),

told AS (
    SELECT
        counted.material,
        counted.base_unit,
        counted.job_count,
        counted.rate,
        counted.source_label,
        counted.standard_error_rate,
        cast(NULL AS DOUBLE) AS allowed_rate
    FROM counted
    UNION ALL
    SELECT
        small.material,
        small.base_unit,
        small.job_count,
        small.rate,
        small.source_label,
        small.standard_error_rate,
        small.allowed_rate
    FROM learn.consumable_rate AS small
    ANTI JOIN counted ON small.material = counted.material
)

SELECT
    told.material,
    told.base_unit,
    told.job_count,
    told.source_label,
    told.rate,
    told.allowed_rate,
    greatest(told.rate - 2 * told.standard_error_rate, 0) AS low_rate,
    told.rate + 2 * told.standard_error_rate AS high_rate
FROM told
ORDER BY told.material
