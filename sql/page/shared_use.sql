-- Materials that no job books out: what went between counts, shared out over the jobs.
--
-- Grain:     one row per material
-- Reads:     result.shared_use, result.shared_job, usage.calendar
-- Units:     base units; use_ratio: used on top of the need, over it; low and high: two standard
--            errors; shared_quantity and job_count: of the last year, not measured. label and note
--            say how the figures were come by
-- Left out:  materials that jobs book out
WITH
lately AS (
    SELECT
        allotted.material,
        sum(allotted.shared_quantity) AS shared_quantity,
        count(DISTINCT allotted.job_ref) AS job_count
    FROM result.shared_job AS allotted
    INNER JOIN usage.calendar AS calendar ON allotted.to_on >= calendar.year_from_on
    GROUP BY allotted.material
)

SELECT
    shared.material,
    shared.base_unit,
    shared.period_count,
    shared.use_ratio,
    shared.label,
    shared.note,
    cast(coalesce(lately.shared_quantity, 0) AS DECIMAL(18, 3)) AS shared_quantity,
    coalesce(lately.job_count, 0) AS job_count,
    shared.use_ratio - 2 * shared.standard_error_ratio AS low_ratio,
    shared.use_ratio + 2 * shared.standard_error_ratio AS high_ratio
FROM result.shared_use AS shared
LEFT JOIN lately ON shared.material = lately.material
ORDER BY shared.material
