-- What the material that a job used truly cost.
--
-- Grain:     one row per job_ref, material with a recorded use
-- Reads:     usage.job_quantity, result.issue_cost, result.rack_credit, result.rack_charge
-- Units:     base units; GBP, sums of whole pennies. used = issued less returned, by its lots, -
--            what racked pieces take off + what pieces from the rack bring. how: the words of
--            issue_cost and rack_charge that the figure rests on, where they are not plainly a lot
--            or a racked piece. delivery: carriage in issued, blank of stock on a moving average
-- Left out:  money where a part of it is not known: how says no price, no day (an issue or a rack
--            piece that no day can be given yet), more back than taken
WITH
issued AS (
    SELECT
        issue.job_ref,
        issue.material,
        sum(issue.quantity) AS quantity,
        sum(issue.cost_gbp) AS cost_gbp,
        CASE WHEN bool_and(issue.delivery_gbp IS NOT NULL) THEN sum(issue.delivery_gbp) END
            AS delivery_gbp,
        bool_or(issue.cost_gbp IS NULL) AS is_unpriced,
        string_agg(DISTINCT issue.how, ', ' ORDER BY issue.how)
        FILTER (WHERE issue.how NOT IN ('fifo', 'average')) AS how
    FROM result.issue_cost AS issue
    WHERE issue.flow = 'job'
    GROUP BY issue.job_ref, issue.material
),

racked AS (
    SELECT
        credit.job_ref,
        credit.material,
        sum(credit.moved_mm) AS moved_mm,
        sum(credit.quantity) AS quantity,
        sum(credit.cost_pence) AS cost_pence,
        bool_or(credit.cost_pence IS NULL) AS is_unpriced
    FROM result.rack_credit AS credit
    GROUP BY credit.job_ref, credit.material
),

charged AS (
    SELECT
        charge.job_ref,
        charge.material,
        sum(charge.quantity) AS quantity,
        sum(charge.cost_pence) AS cost_pence,
        bool_or(charge.cost_pence IS NULL) AS is_unpriced,
        string_agg(DISTINCT charge.how, ', ' ORDER BY charge.how)
        FILTER (WHERE charge.how != 'racked') AS how
    FROM result.rack_charge AS charge
    WHERE charge.fate = 'from_rack'
    GROUP BY charge.job_ref, charge.material
),

line AS (
    SELECT
        quantity.job_ref,
        quantity.material,
        quantity.base_unit,
        quantity.used_quantity,
        cast(coalesce(issued.cost_gbp, 0) AS DECIMAL(12, 2)) AS issued_gbp,
        cast(
            CASE WHEN issued.job_ref IS NULL THEN 0 ELSE issued.delivery_gbp END AS DECIMAL(12, 2)
        ) AS delivery_gbp,
        cast(coalesce(racked.cost_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS racked_gbp,
        cast(coalesce(charged.cost_pence, 0) * 0.01 AS DECIMAL(12, 2)) AS from_rack_gbp,
        concat_ws(', ', issued.how, charged.how) AS rests_on,
        CASE
            WHEN coalesce(quantity.returned_quantity, 0) > coalesce(quantity.issued_quantity, 0)
                THEN 'more back than taken'
            WHEN
                coalesce(issued.quantity, 0)
                != coalesce(quantity.issued_quantity, 0) - coalesce(quantity.returned_quantity, 0)
                OR (racked.job_ref IS NULL AND quantity.racked_quantity > 0)
                OR (charged.job_ref IS NULL AND quantity.from_rack_quantity > 0)
                THEN 'no day'
            WHEN issued.is_unpriced OR racked.is_unpriced OR charged.is_unpriced THEN 'no price'
        END AS why_not
    FROM usage.job_quantity AS quantity
    LEFT JOIN issued
        ON quantity.job_ref = issued.job_ref AND quantity.material = issued.material
    LEFT JOIN racked
        ON quantity.job_ref = racked.job_ref AND quantity.material = racked.material
    LEFT JOIN charged
        ON quantity.job_ref = charged.job_ref AND quantity.material = charged.material
    WHERE quantity.used_quantity IS NOT NULL
)

SELECT
    line.job_ref,
    line.material,
    line.base_unit,
    line.used_quantity,
    line.issued_gbp,
    line.delivery_gbp,
    line.racked_gbp,
    line.from_rack_gbp,
    CASE
        WHEN line.why_not IS NULL
            THEN cast(line.issued_gbp - line.racked_gbp + line.from_rack_gbp AS DECIMAL(12, 2))
    END AS used_gbp,
    coalesce(line.why_not, nullif(line.rests_on, '')) AS how
FROM line
