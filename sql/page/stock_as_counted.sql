-- What should stand in yard and vans by the last count and the papers, beside the booked jobs.
--
-- Grain:     one row per material
-- Reads:     stock.position, stock.price_in_force, usage.allowed, usage.job_quantity, ledger.jobs
-- Units:     base units; GBP at the price in force; since = bought - taken since the count, by
--            the papers; expected = quantity + since; to_come: what booked jobs are allowed and
--            have not taken; short_on: the day of the first booked job, in the order of their
--            days, that what should be there no longer covers, blank where it has none
-- Left out:  as stock.position
WITH
needed AS (
    SELECT
        allowed.material,
        job.planned_on,
        sum(greatest(allowed.allowed_quantity - coalesce(taken.drawn_quantity, 0), 0)) OVER (
            PARTITION BY allowed.material
            ORDER BY job.planned_on ASC NULLS LAST, job.job_ref ASC
            ROWS BETWEEN UNBOUNDED PRECEDING AND CURRENT ROW
        ) AS so_far_quantity
    FROM usage.allowed AS allowed
    INNER JOIN ledger.jobs AS job ON allowed.job_ref = job.job_ref
    LEFT JOIN usage.job_quantity AS taken
        ON allowed.job_ref = taken.job_ref AND allowed.material = taken.material
    WHERE job.status = 'booked'
),

first_short AS (
    SELECT
        stood.material,
        min(needed.planned_on) AS short_on
    FROM stock.position AS stood
    INNER JOIN needed
        ON
            stood.material = needed.material
            AND stood.expected_quantity < needed.so_far_quantity
    GROUP BY stood.material
)

SELECT
    stood.material,
    stood.kind,
    stood.base_unit,
    stood.counted_on,
    stood.quantity,
    stood.place_count,
    stood.value_gbp,
    stood.expected_quantity,
    stood.to_come_quantity,
    stood.past_date_quantity,
    stood.short_quantity,
    first_short.short_on,
    cast(stood.expected_quantity - stood.quantity AS DECIMAL(18, 3)) AS since_quantity,
    cast(stood.short_quantity * price.price_gbp AS DECIMAL(12, 2)) AS short_gbp
FROM stock.position AS stood
LEFT JOIN first_short ON stood.material = first_short.material
LEFT JOIN stock.price_in_force AS price ON stood.material = price.material
ORDER BY
    stood.short_quantity IS NULL ASC,
    first_short.short_on ASC NULLS LAST,
    short_gbp DESC NULLS LAST,
    stood.value_gbp DESC NULLS LAST,
    stood.material ASC
