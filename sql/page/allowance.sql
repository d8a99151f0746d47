-- What is allowed beside what the jobs say, by material and job type.
--
-- Grain:     one row per material, job_type
-- Reads:     comparison.suggested_by_job_type
-- Units:     as rate_label says; at_stake_gbp over the last twelve months' jobs
-- Left out:  kinds that are not read by m² of roof or metre of need
SELECT
    rated.material,
    rated.kind,
    rated.job_type,
    rated.job_count,
    rated.rate_label,
    rated.allowed_rate,
    rated.suggested_rate,
    rated.low_rate,
    rated.high_rate,
    rated.floor_rate,
    rated.is_off,
    rated.at_stake_gbp
FROM comparison.suggested_by_job_type AS rated
ORDER BY
    rated.is_off DESC, rated.at_stake_gbp DESC NULLS LAST, rated.material ASC, rated.job_type ASC
