-- What a piece taken from the rack, or scrapped from it, cost: the pence that it brought there.
--
-- Grain:     one row per material, move_no of a piece that left the rack
-- Reads:     feed.rack_move, feed.reuse_share, result.rack_credit, stock.price_step
-- Units:     pence. Pieces with one label, and all without one, leave in the order in which they
--            came, mm by mm, each racked row's pence shared with cumulative rounding, so that a row
--            gives what it took. how: racked; next piece (taken before it was racked); not racked
--            (beyond all that was racked: the price in force by the reuse share of the month), and
--            unracked_pence: how much of the cost that is
-- Left out:  nothing; cost is blank where no price is known
WITH
racked AS (
    SELECT
        credit.material,
        credit.moved_on,
        credit.cost_pence,
        credit.moved_mm,
        coalesce(credit.piece, '') AS tag,
        sum(credit.moved_mm) OVER (
            PARTITION BY credit.material, coalesce(credit.piece, '') ORDER BY credit.move_no ASC
        ) AS upto_mm
    FROM result.rack_credit AS credit
),

taken AS (
    SELECT
        moved.material,
        moved.move_no,
        moved.job_ref,
        moved.fate,
        moved.moved_on,
        moved.moved_mm,
        moved.quantity,
        coalesce(moved.piece, '') AS tag,
        sum(moved.moved_mm) OVER (
            PARTITION BY moved.material, coalesce(moved.piece, '') ORDER BY moved.move_no ASC
        ) AS upto_mm
    FROM feed.rack_move AS moved
    WHERE moved.fate != 'racked'
),

overlap AS (
    SELECT
        taken.material,
        taken.move_no,
        racked.moved_on AS racked_on,
        cast(racked.cost_pence AS HUGEINT) AS cost_pence,
        racked.moved_mm,
        greatest(taken.upto_mm - taken.moved_mm, racked.upto_mm - racked.moved_mm)
        - (racked.upto_mm - racked.moved_mm) AS from_mm,
        least(taken.upto_mm, racked.upto_mm) - (racked.upto_mm - racked.moved_mm) AS to_mm
    FROM taken
    INNER JOIN racked
        ON
            taken.material = racked.material
            AND taken.tag = racked.tag
            AND taken.upto_mm > racked.upto_mm - racked.moved_mm
            AND taken.upto_mm - taken.moved_mm < racked.upto_mm
),

covered AS (
    SELECT
        overlap.material,
        overlap.move_no,
        sum(overlap.to_mm - overlap.from_mm) AS covered_mm,
        max(overlap.racked_on) AS racked_on,
        CASE
            WHEN bool_and(overlap.cost_pence IS NOT NULL)
                THEN
                    sum(
                        (2 * overlap.cost_pence * overlap.to_mm + overlap.moved_mm)
                        // (2 * overlap.moved_mm)
                        - (2 * overlap.cost_pence * overlap.from_mm + overlap.moved_mm)
                        // (2 * overlap.moved_mm)
                    )
        END AS cost_pence
    FROM overlap
    GROUP BY overlap.material, overlap.move_no
),

beyond AS (
    SELECT
        taken.material,
        taken.move_no,
        (
            2 * cast(cast(taken.quantity * step.price_gbp AS DECIMAL(24, 6)) * 1000000 AS HUGEINT)
            * reuse.share_numerator * (taken.moved_mm - coalesce(covered.covered_mm, 0))
            + 10000 * reuse.share_denominator * taken.moved_mm
        )
        // (20000 * reuse.share_denominator * taken.moved_mm) AS unracked_pence
    FROM taken
    LEFT JOIN covered ON taken.material = covered.material AND taken.move_no = covered.move_no
    INNER JOIN feed.reuse_share AS reuse
        ON cast(date_trunc('month', taken.moved_on) AS DATE) = reuse.month_on
    ASOF LEFT JOIN stock.price_step AS step
        ON taken.material = step.material AND taken.moved_on >= step.from_on
    WHERE taken.moved_mm > coalesce(covered.covered_mm, 0)
)

SELECT
    taken.material,
    taken.move_no,
    taken.job_ref,
    taken.fate,
    taken.moved_on,
    taken.moved_mm,
    taken.quantity,
    cast(
        coalesce(covered.cost_pence, CASE WHEN covered.move_no IS NULL THEN 0 END)
        + coalesce(beyond.unracked_pence, CASE WHEN beyond.move_no IS NULL THEN 0 END)
        AS BIGINT
    ) AS cost_pence,
    cast(
        coalesce(beyond.unracked_pence, CASE WHEN beyond.move_no IS NULL THEN 0 END) AS BIGINT
    ) AS unracked_pence,
    CASE
        WHEN beyond.move_no IS NOT NULL THEN 'not racked'
        WHEN covered.racked_on > taken.moved_on THEN 'next piece'
        ELSE 'racked'
    END AS how
FROM taken
LEFT JOIN covered ON taken.material = covered.material AND taken.move_no = covered.move_no
LEFT JOIN beyond ON taken.material = beyond.material AND taken.move_no = beyond.move_no
