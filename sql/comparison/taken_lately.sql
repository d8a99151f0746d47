-- What the jobs finished lately took of each material beside what they were allowed, line by line.
--
-- Grain:     one row per job_ref, material
-- Reads:     comparison.use_by_job, usage.job_quantity, usage.calendar
-- Units:     base units; GBP, the rounded lines of use_by_job; positive took more than allowed. A
--            material that is booked in whole packs to the job that opened them stands here for
--            every job, 0 taken where none was opened: the next jobs use up the rest of a pack, so
--            that only sums over jobs say something, right to the packs open at both ends
-- Left out:  lines without an allowance or without a recorded use; in whole packs, jobs that record
--            no use of anything
WITH
line AS (
    SELECT
        compared.job_ref,
        compared.material,
        compared.kind,
        compared.base_unit,
        compared.completed_on,
        compared.allowed_quantity,
        compared.used_quantity,
        compared.allowed_gbp,
        compared.difference_quantity,
        compared.difference_gbp,
        coalesce(
            bool_and(card.how = 'whole packs') FILTER (WHERE compared.used_quantity IS NOT NULL)
                OVER (PARTITION BY compared.material),
            FALSE
        ) AS is_in_packs,
        count(compared.used_quantity) OVER (PARTITION BY compared.job_ref) > 0 AS is_recorded
    FROM comparison.use_by_job AS compared
    INNER JOIN usage.calendar AS calendar
        ON compared.completed_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
    LEFT JOIN usage.job_quantity AS card
        ON compared.job_ref = card.job_ref AND compared.material = card.material
)

SELECT
    line.job_ref,
    line.material,
    line.kind,
    line.base_unit,
    line.completed_on,
    line.allowed_quantity,
    line.is_in_packs,
    coalesce(line.used_quantity, 0) AS used_quantity,
    coalesce(line.difference_quantity, -line.allowed_quantity) AS difference_quantity,
    CASE
        WHEN line.used_quantity IS NULL THEN -line.allowed_gbp
        ELSE line.difference_gbp
    END AS difference_gbp
FROM line
WHERE
    line.difference_quantity IS NOT NULL
    OR (line.is_in_packs AND line.is_recorded AND line.allowed_quantity IS NOT NULL)
