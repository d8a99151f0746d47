-- The suggested allowances with their sentence, most money first.
--
-- Grain:     one row per material, job_type
-- Reads:     result.proposal, comparison.suggested_by_job_type, comparison.allowed_by_job_type
-- Units:     base units; ratios over base; charge_rate and load_rate: the ratios as people read
--            them, base + ratio x base over the size of the last twelve months' jobs, in the unit
--            of page.allowance, the fixed loss of a job beside it; at_stake_gbp over those jobs
-- Left out:  the money of kinds without a rate, or without a price or an allowance
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
    lately.base_quantity * (1 + proposal.suggested_price_ratio) / lately.size AS charge_rate,
    lately.base_quantity * (1 + proposal.suggested_load_ratio) / lately.size AS load_rate
FROM result.proposal AS proposal
LEFT JOIN comparison.suggested_by_job_type AS rated
    ON proposal.material = rated.material AND proposal.job_type = rated.job_type
LEFT JOIN comparison.allowed_by_job_type AS lately
    ON proposal.material = lately.material AND proposal.job_type = lately.job_type
ORDER BY
    proposal.is_offered DESC,
    rated.at_stake_gbp DESC NULLS LAST,
    proposal.material ASC,
    proposal.job_type ASC
