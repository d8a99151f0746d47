-- Every job in force, with what follows from its dates and its type filled in.
--
-- Grain:     one row per job_ref
-- Reads:     ledger.jobs_as_typed, setting.job_type
-- Units:     area_m2 is measured where it was measured, else quoted
-- Left out:  nothing
SELECT
    job.job_ref,
    job.job_type,
    job.work,
    job.crew,
    job.quoted_on,
    job.valid_until,
    job.planned_on,
    job.completed_on,
    job.quoted_area_m2,
    job.measured_area_m2,
    job.as_drawn,
    job.quoted_price_gbp,
    job.extras_gbp,
    job.labour_days,
    job.labour_cost_gbp,
    job.other_cost_gbp,
    job.retention_gbp,
    job.deck_temp_c,
    job.second_trips,
    job.ran_short_of,
    job.remedial_of,
    job.notes,
    job.receipt_no,
    job.sheet,
    job.row_no,
    job.part_no,
    coalesce(
        job.status,
        CASE
            WHEN job.completed_on IS NOT NULL THEN 'completed'
            WHEN job.planned_on IS NOT NULL THEN 'booked'
            ELSE 'quoted'
        END
    ) AS status,
    coalesce(job.measured_area_m2, job.quoted_area_m2) AS area_m2,
    coalesce(job.lay_up, usual.lay_up) AS lay_up
FROM ledger.jobs_as_typed AS job
LEFT JOIN setting.job_type AS usual ON job.job_type = usual.job_type
