-- The suggested allowances with their sentence, most money first.
--
-- Grain:     one row per material, job_type
-- Reads:     result.proposal, comparison.suggested_by_job_type, comparison.allowed_by_job_type
-- Units:     base units; ratios over base; charge_rate and load_rate: the ratios as people read
--            them, base + ratio x base over the size of the last twelve months' jobs, in the unit
--            of page.allowance, the fixed loss of a job beside it; at_stake_gbp over those jobs
-- Left out:  the money of kinds without a rate, or without a price or an allowance
WITH
based AS (
    SELECT
        lately.material,
        lately.job_type,
        CASE
            WHEN proposal.suggested_blend_ratio IS NULL THEN lately.base_quantity
            ELSE
                lately.best_quantity
                + proposal.suggested_blend_ratio * (lately.no_reuse_quantity - lately.best_quantity)
        END / lately.size AS base_rate
    FROM comparison.allowed_by_job_type AS lately
    INNER JOIN result.proposal AS proposal
        ON lately.material = proposal.material AND lately.job_type = proposal.job_type
)

SELECT
    proposal.material,
    proposal.job_type,
    proposal.base_unit,
    proposal.job_count,
    proposal.held_back_count,
    proposal.suggested_fixed_loss,
    proposal.suggested_price_ratio,
    proposal.suggested_load_ratio,
    proposal.typical_base_quantity,
    proposal.charged_quantity,
    proposal.loaded_quantity,
    proposal.is_offered,
    proposal.why_not,
    proposal.sentence,
    rated.at_stake_gbp,
    proposal.copied_count,
    proposal.whole_pack_count,
    based.base_rate * (1 + proposal.suggested_price_ratio) AS charge_rate,
    based.base_rate * (1 + proposal.suggested_load_ratio) AS load_rate
FROM result.proposal AS proposal
LEFT JOIN comparison.suggested_by_job_type AS rated
    ON proposal.material = rated.material AND proposal.job_type = rated.job_type
LEFT JOIN based
    ON proposal.material = based.material AND proposal.job_type = based.job_type
ORDER BY
    proposal.is_offered DESC,
    rated.at_stake_gbp DESC NULLS LAST,
    proposal.material ASC,
    proposal.job_type ASC
