-- What is suggested for a job type beside what it is allowed, in the form that people read.
--
-- Grain:     one row per material, job_type
-- Reads:     comparison.allowed_by_job_type, result.proposal, result.fit,
--            result.allowance_in_force, stock.price_in_force
-- Units:     rates as rate_label says. Suggested: what the jobs point to, whether or not it is gone
--            to in steps, (base + fixed loss + price ratio x base) summed over the last twelve
--            months' jobs, over their size. low and high: suggested -/+ half
--            of the span that eight jobs in ten lie in, over the root of the type's number of jobs.
--            is_off: offered, three jobs or more, and what is allowed lies outside low to high.
--            allowed_rate: the charge decided on, in the same way; what the jobs were allowed where
--            nothing is decided. at_stake_gbp: difference of the two rates over the year's jobs, at
--            today's price
-- Left out:  job types without a job in the last twelve months
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
        END AS suggested_base_quantity,
        CASE
            WHEN standing.blend_ratio IS NULL THEN lately.base_quantity
            ELSE
                lately.best_quantity
                + standing.blend_ratio * (lately.no_reuse_quantity - lately.best_quantity)
        END AS standing_base_quantity
    FROM comparison.allowed_by_job_type AS lately
    INNER JOIN result.proposal AS proposal
        ON lately.material = proposal.material AND lately.job_type = proposal.job_type
    LEFT JOIN result.allowance_in_force AS standing
        ON lately.material = standing.material AND lately.job_type = standing.job_type
),

compared AS (
    SELECT
        lately.material,
        lately.kind,
        lately.job_type,
        proposal.job_count,
        lately.rate_label,
        lately.size,
        lately.floor_rate,
        proposal.is_offered,
        CASE
            WHEN standing.how = 'decided'
                THEN
                    (
                        based.standing_base_quantity * (1 + standing.price_ratio)
                        + lately.job_count * standing.fixed_loss
                    ) / lately.size
            ELSE lately.allowed_rate
        END AS allowed_rate,
        (
            based.suggested_base_quantity * (1 + proposal.full_price_ratio)
            + lately.job_count * proposal.full_fixed_loss
        ) / lately.size AS suggested_rate,
        CASE
            WHEN proposal.job_count > 0
                THEN
                    (fit.high_error_ratio - fit.low_error_ratio)
                    / 2
                    / sqrt(proposal.job_count)
                    * based.suggested_base_quantity
                    / lately.size
        END AS half_rate
    FROM comparison.allowed_by_job_type AS lately
    INNER JOIN based ON lately.material = based.material AND lately.job_type = based.job_type
    INNER JOIN result.proposal AS proposal
        ON lately.material = proposal.material AND lately.job_type = proposal.job_type
    LEFT JOIN result.fit AS fit ON lately.material = fit.material
    LEFT JOIN result.allowance_in_force AS standing
        ON lately.material = standing.material AND lately.job_type = standing.job_type
)

SELECT
    compared.material,
    compared.kind,
    compared.job_type,
    compared.job_count,
    compared.rate_label,
    compared.allowed_rate,
    compared.suggested_rate,
    compared.floor_rate,
    cast(
        abs(compared.allowed_rate - compared.suggested_rate)
        * compared.size
        * price.price_gbp
        AS DECIMAL(12, 2)
    ) AS at_stake_gbp,
    compared.suggested_rate - compared.half_rate AS low_rate,
    compared.suggested_rate + compared.half_rate AS high_rate,
    coalesce(
        compared.is_offered
        AND compared.job_count >= 3
        AND abs(compared.allowed_rate - compared.suggested_rate) > compared.half_rate,
        FALSE
    ) AS is_off
FROM compared
LEFT JOIN stock.price_in_force AS price ON compared.material = price.material
