-- What can be decided: the allowance in force beside the one that the jobs suggest.
--
-- Grain:     one row per material, job_type
-- Reads:     result.allowance_in_force, result.proposal, setting.firm, ledger.materials
-- Units:     fixed losses in base units on any job, ratios over base; decided_on is the day of the
--            run. Suggested figures stand only where the suggestion is offered
-- Left out:  materials with neither an allowance in force nor finished jobs to learn from
WITH
pair AS (
    SELECT
        standing.material,
        standing.job_type
    FROM result.allowance_in_force AS standing
    UNION
    SELECT
        proposal.material,
        proposal.job_type
    FROM result.proposal AS proposal
)

SELECT
    pair.material,
    pair.job_type,
    item.base_unit,
    firm.as_of AS decided_on,
    standing.how,
    standing.in_force_from,
    standing.fixed_loss AS in_force_fixed_loss,
    standing.price_ratio AS in_force_price_ratio,
    standing.load_ratio AS in_force_load_ratio,
    standing.blend_ratio AS in_force_blend_ratio,
    standing.piece_shift AS in_force_piece_shift,
    CASE WHEN proposal.is_offered THEN proposal.suggested_fixed_loss END AS suggested_fixed_loss,
    CASE WHEN proposal.is_offered THEN proposal.suggested_price_ratio END AS suggested_price_ratio,
    CASE WHEN proposal.is_offered THEN proposal.suggested_load_ratio END AS suggested_load_ratio,
    CASE WHEN proposal.is_offered THEN proposal.suggested_blend_ratio END AS suggested_blend_ratio,
    CASE WHEN proposal.is_offered THEN proposal.suggested_piece_shift END AS suggested_piece_shift,
    coalesce(proposal.is_offered, FALSE) AS is_offered,
    coalesce(proposal.sentence, proposal.why_not) AS sentence
FROM pair
CROSS JOIN setting.firm AS firm
INNER JOIN ledger.materials AS item ON pair.material = item.material
LEFT JOIN result.allowance_in_force AS standing
    ON pair.material = standing.material AND pair.job_type = standing.job_type
LEFT JOIN result.proposal AS proposal
    ON pair.material = proposal.material AND pair.job_type = proposal.job_type
ORDER BY is_offered DESC, pair.material ASC, pair.job_type ASC
