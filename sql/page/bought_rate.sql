-- What a firm without issue records bought for a square metre of roof finished.
--
-- Grain:     one row per material
-- Reads:     ledger.purchases, ledger.materials, ledger.jobs, usage.job_quantity, usage.allowed,
--            usage.calendar
-- Units:     base units over m2, from the material's first invoice month of the last 24 to the
--            month end; low and high: less and more the largest month's buying, since what lay in
--            the yard at both ends is not known; low is never below 0
-- Left out:  firms with any issued quantity; kinds other than resin, topcoat and mat; materials
--            with invoices in fewer than six months; roofs without an area
WITH
line AS (
    SELECT
        bought.material,
        bought.quantity,
        cast(date_trunc('month', coalesce(bought.delivered_on, bought.document_on)) AS DATE)
            AS month_on
    FROM ledger.purchases AS bought
    INNER JOIN usage.calendar AS calendar
        ON
            coalesce(bought.delivered_on, bought.document_on)
            BETWEEN calendar.two_years_from_on AND calendar.month_end_on
    WHERE
        bought.line_kind = 'goods'
        AND bought.quantity IS NOT NULL
        AND NOT EXISTS (
            SELECT card.job_ref
            FROM usage.job_quantity AS card
            WHERE card.issued_quantity IS NOT NULL
        )
),

monthly AS (
    SELECT
        line.material,
        line.month_on,
        sum(line.quantity) AS quantity
    FROM line
    GROUP BY line.material, line.month_on
),

bought AS (
    SELECT
        monthly.material,
        cast(sum(monthly.quantity) AS DECIMAL(18, 3)) AS quantity,
        cast(max(monthly.quantity) AS DECIMAL(18, 3)) AS largest_quantity,
        min(monthly.month_on) AS from_on,
        count(*) AS month_count
    FROM monthly
    GROUP BY monthly.material
    HAVING count(*) >= 6
),

roofed AS (
    SELECT
        bought.material,
        cast(sum(job.area_m2) AS DECIMAL(18, 3)) AS area_m2,
        sum(allowed.allowed_quantity)
        / sum(job.area_m2) FILTER (WHERE allowed.allowed_quantity IS NOT NULL) AS allowed_rate
    FROM bought
    CROSS JOIN usage.calendar AS calendar
    INNER JOIN ledger.jobs AS job
        ON
            job.status = 'completed'
            AND job.completed_on BETWEEN bought.from_on AND calendar.month_end_on
    LEFT JOIN usage.allowed AS allowed
        ON job.job_ref = allowed.job_ref AND bought.material = allowed.material
    GROUP BY bought.material
)

SELECT
    bought.material,
    item.base_unit,
    bought.month_count,
    bought.quantity AS bought_quantity,
    roofed.area_m2,
    roofed.allowed_rate,
    bought.quantity / roofed.area_m2 AS rate,
    greatest(bought.quantity - bought.largest_quantity, 0) / roofed.area_m2 AS low_rate,
    (bought.quantity + bought.largest_quantity) / roofed.area_m2 AS high_rate,
    CASE item.kind WHEN 'mat' THEN 'm² per m² of roof' ELSE 'kg per m²' END AS rate_label
FROM bought
INNER JOIN roofed ON bought.material = roofed.material
INNER JOIN ledger.materials AS item ON bought.material = item.material
WHERE item.kind IN ('resin', 'topcoat', 'mat') AND roofed.area_m2 > 0
ORDER BY bought.material
