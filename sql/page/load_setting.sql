-- How sure the loads are set to be, and how often a van went twice in the last twelve months.
--
-- Grain:     one row
-- Reads:     result.load_setting, ledger.jobs, usage.calendar
-- Units:     covered_job_ratio: share of the past jobs that speak on which every material would
--            have lasted. Trips: of the finished jobs that say whether there was a second one;
--            ran_short_of is what ran short on most of them
-- Left out:  jobs that do not say how often the van went
WITH
told AS (
    SELECT
        job.job_ref,
        job.second_trips,
        job.ran_short_of
    FROM ledger.jobs AS job
    INNER JOIN usage.calendar AS calendar
        ON job.completed_on BETWEEN calendar.year_from_on AND calendar.month_end_on
    WHERE job.status = 'completed' AND job.second_trips IS NOT NULL
),

short_of AS (
    SELECT
        told.ran_short_of,
        count(*) AS job_count
    FROM told
    WHERE told.second_trips > 0 AND told.ran_short_of IS NOT NULL
    GROUP BY told.ran_short_of
    QUALIFY row_number() OVER (ORDER BY count(*) DESC, told.ran_short_of ASC) = 1
),

trips AS (
    SELECT
        count(*) AS told_job_count,
        count(*) FILTER (WHERE told.second_trips > 0) AS trip_job_count
    FROM told
)

SELECT
    setting.load_basis,
    setting.load_share_ratio,
    setting.second_trip_share_ratio,
    setting.covered_job_ratio,
    setting.job_count,
    setting.mean_cost_gbp,
    trips.told_job_count,
    trips.trip_job_count,
    short_of.ran_short_of,
    short_of.job_count AS short_job_count
FROM result.load_setting AS setting
CROSS JOIN trips
LEFT JOIN short_of ON TRUE
