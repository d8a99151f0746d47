-- What goes of a consumable for a square metre of roof: over jobs and months, never job by job,
-- since one job opens the pack that the next ones use up.
--
-- Grain:     one row per material
-- Reads:     ledger.jobs, ledger.purchases, ledger.materials, usage.job_quantity, usage.allowed,
--            usage.calendar, learn.held_back
-- Units:     base units over m2, of whole months of the last 24, from the first in which the
--            material stands on record; standard_error_rate: by how the months differ, DOUBLE.
--            source_label: booked to jobs, over the jobs that record a use of anything, or bought,
--            where no job books the material, over all jobs. allowed_rate: blank where any of the
--            roofs has no allowance of it
-- Left out:  materials with fewer than six months; roofs without an area; lines held back, with
--            their roof, save a share of catalyst that only a bottle opened explains
WITH
roof AS (
    SELECT
        job.job_ref,
        job.area_m2,
        cast(date_trunc('month', job.completed_on) AS DATE) AS month_on,
        job.job_ref IN (
            SELECT card.job_ref FROM usage.job_quantity AS card
            WHERE card.used_quantity IS NOT NULL
        ) AS is_recorded
    FROM ledger.jobs AS job
    INNER JOIN usage.calendar AS calendar
        ON job.completed_on BETWEEN calendar.two_years_from_on AND calendar.month_end_on
    WHERE job.status = 'completed' AND job.area_m2 IS NOT NULL
),

consumable AS (
    SELECT item.material
    FROM ledger.materials AS item
    WHERE
        item.kind IN (
            'catalyst', 'primer', 'bandage', 'adhesive', 'sealant', 'fixing', 'solvent', 'sundry'
        )
),

taken AS (
    SELECT
        line.job_ref,
        line.material,
        line.used_quantity,
        roof.month_on
    FROM usage.job_quantity AS line
    INNER JOIN consumable ON line.material = consumable.material
    INNER JOIN roof ON line.job_ref = roof.job_ref
    WHERE line.used_quantity IS NOT NULL
),

bought AS (
    SELECT
        paper.material,
        paper.quantity,
        cast(date_trunc('month', coalesce(paper.delivered_on, paper.document_on)) AS DATE)
            AS month_on
    FROM ledger.purchases AS paper
    INNER JOIN consumable ON paper.material = consumable.material
    INNER JOIN usage.calendar AS calendar
        ON
            coalesce(paper.delivered_on, paper.document_on)
            BETWEEN calendar.two_years_from_on AND calendar.month_end_on
    ANTI JOIN taken ON paper.material = taken.material
    WHERE paper.line_kind = 'goods' AND paper.quantity IS NOT NULL
),

source AS (
    SELECT
        taken.material,
        'booked to jobs' AS source_label,
        min(taken.month_on) AS from_on
    FROM taken
    GROUP BY taken.material
    UNION ALL
    SELECT
        bought.material,
        'bought' AS source_label,
        min(bought.month_on) AS from_on
    FROM bought
    GROUP BY bought.material
),

paid AS (
    SELECT
        bought.material,
        bought.month_on,
        bought.quantity,
        0 AS area_m2,
        cast(NULL AS DECIMAL(18, 3)) AS allowed_quantity,
        0 AS job_count,
        0 AS allowed_count
    FROM bought
),

entry AS (
    SELECT
        source.material,
        roof.month_on,
        roof.area_m2,
        allowed.allowed_quantity,
        coalesce(taken.used_quantity, 0) AS quantity,
        1 AS job_count,
        cast(allowed.allowed_quantity IS NOT NULL AS INTEGER) AS allowed_count
    FROM source
    INNER JOIN roof
        ON
            source.from_on <= roof.month_on
            AND (source.source_label = 'bought' OR roof.is_recorded)
    LEFT JOIN taken ON source.material = taken.material AND roof.job_ref = taken.job_ref
    LEFT JOIN usage.allowed AS allowed
        ON source.material = allowed.material AND roof.job_ref = allowed.job_ref
    ANTI JOIN learn.held_back AS held
        ON
            source.material = held.material
            AND roof.job_ref = held.job_ref
            AND held.gate != 'catalyst share'
    UNION ALL
    SELECT
        paid.material,
        paid.month_on,
        paid.area_m2,
        paid.allowed_quantity,
        paid.quantity,
        paid.job_count,
        paid.allowed_count
    FROM paid
),

monthly AS (
    SELECT
        entry.material,
        entry.month_on,
        cast(sum(entry.area_m2) AS DOUBLE) AS area_m2,
        cast(sum(entry.quantity) AS DOUBLE) AS quantity,
        cast(sum(entry.allowed_quantity) AS DOUBLE) AS allowed_quantity,
        sum(entry.job_count) AS job_count,
        sum(entry.allowed_count) AS allowed_count
    FROM entry
    GROUP BY entry.material, entry.month_on
),

summed AS (
    SELECT
        monthly.material,
        cast(sum(monthly.job_count) AS BIGINT) AS job_count,
        count(*) AS month_count,
        sum(monthly.area_m2 ORDER BY monthly.month_on) AS area_m2,
        sum(monthly.quantity ORDER BY monthly.month_on) AS quantity,
        CASE
            WHEN sum(monthly.allowed_count) = sum(monthly.job_count)
                THEN
                    sum(monthly.allowed_quantity ORDER BY monthly.month_on)
                    / sum(monthly.area_m2 ORDER BY monthly.month_on)
        END AS allowed_rate
    FROM monthly
    GROUP BY monthly.material
    HAVING count(*) >= 6 AND sum(monthly.area_m2) > 0
),

apart AS (
    SELECT
        summed.material,
        sum(
            pow(monthly.quantity - summed.quantity / summed.area_m2 * monthly.area_m2, 2)
            ORDER BY monthly.month_on
        ) AS squares
    FROM summed
    INNER JOIN monthly ON summed.material = monthly.material
    GROUP BY summed.material
)

SELECT
    summed.material,
    item.kind,
    item.base_unit,
    source.source_label,
    source.from_on,
    summed.month_count,
    summed.job_count,
    summed.area_m2,
    summed.quantity,
    summed.allowed_rate,
    summed.quantity / summed.area_m2 AS rate,
    sqrt(apart.squares * summed.month_count / (summed.month_count - 1)) / summed.area_m2
        AS standard_error_rate
FROM summed
INNER JOIN apart ON summed.material = apart.material
INNER JOIN source ON summed.material = source.material
INNER JOIN ledger.materials AS item ON summed.material = item.material
ORDER BY summed.material
