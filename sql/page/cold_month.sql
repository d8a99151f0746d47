-- Whether the months that the firm calls cold take more of what is poured.
--
-- Grain:     one row per material
-- Reads:     result.cold_month
-- Units:     cold_ratio over base, cold jobs beside warm ones; is_told: past jobs bear it out
-- Left out:  everything unless the settings name cold months
SELECT
    tried.material,
    tried.cold_job_count,
    tried.warm_job_count,
    tried.cold_ratio,
    tried.tried_job_count,
    tried.is_told,
    tried.sentence
FROM result.cold_month AS tried
ORDER BY tried.is_told DESC, tried.material ASC
