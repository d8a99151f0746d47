-- What a racked piece takes off the job that racked it, and carries to the job that uses it.
--
-- Grain:     one row per material, move_no of a racked piece
-- Reads:     feed.rack_move, feed.reuse_share, result.issue_cost, stock.price_step
-- Units:     pence, half away from zero: what the job's own new lengths of the material cost a base
--            unit, by the quantity racked, by the reuse share of the month; where the job took no
--            new lengths, the price in force on the day
-- Left out:  nothing; cost is blank where no price is known
WITH
job AS (
    SELECT
        issue.job_ref,
        issue.material,
        cast(sum(issue.quantity) * 1000 AS HUGEINT) AS quantity,
        CASE
            WHEN bool_and(issue.cost_gbp IS NOT NULL)
                THEN cast(sum(issue.cost_gbp) * 100 AS HUGEINT)
        END AS cost_pence
    FROM result.issue_cost AS issue
    WHERE issue.flow = 'job'
    GROUP BY issue.job_ref, issue.material
),

racked AS (
    SELECT
        moved.material,
        moved.move_no,
        moved.job_ref,
        moved.piece,
        moved.moved_on,
        moved.moved_mm,
        moved.quantity,
        reuse.share_numerator,
        reuse.share_denominator,
        job.cost_pence,
        job.quantity AS cost_quantity,
        cast(cast(moved.quantity * step.price_gbp AS DECIMAL(24, 6)) * 1000000 AS HUGEINT)
            AS value_micro_gbp
    FROM feed.rack_move AS moved
    INNER JOIN feed.reuse_share AS reuse
        ON cast(date_trunc('month', moved.moved_on) AS DATE) = reuse.month_on
    LEFT JOIN job ON moved.job_ref = job.job_ref AND moved.material = job.material
    ASOF LEFT JOIN stock.price_step AS step
        ON moved.material = step.material AND moved.moved_on >= step.from_on
    WHERE moved.fate = 'racked'
)

SELECT
    racked.material,
    racked.move_no,
    racked.job_ref,
    racked.piece,
    racked.moved_on,
    racked.moved_mm,
    racked.quantity,
    cast(
        CASE
            WHEN racked.cost_quantity IS NOT NULL
                THEN
                    (
                        2 * racked.cost_pence * cast(racked.quantity * 1000 AS HUGEINT)
                        * racked.share_numerator
                        + racked.cost_quantity * racked.share_denominator
                    )
                    // (2 * racked.cost_quantity * racked.share_denominator)
            ELSE
                (
                    2 * racked.value_micro_gbp * racked.share_numerator
                    + 10000 * racked.share_denominator
                )
                // (20000 * racked.share_denominator)
        END AS BIGINT
    ) AS cost_pence
FROM racked
