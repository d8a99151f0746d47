-- How far the figures can be trusted, in sentences.
--
-- Grain:     one row per order_no
-- Reads:     usage.calendar, receipt.file, receipt.reject, ledger.purchases, stock.last_count,
--            comparison.use_by_job, margin.job, result.check_outcome
-- Units:     GBP in whole pounds
-- Left out:  of files not read, those to type in, which page.to_type_in lists
WITH
summed AS (
    SELECT
        cast(coalesce(sum(job.own_gbp), 0) AS DECIMAL(18, 2)) AS job_gbp,
        cast(coalesce(sum(job.unpriced_count), 0) AS BIGINT) AS unpriced_count
    FROM margin.job AS job
),

leaf AS (
    SELECT cast(coalesce(sum(line.cost_gbp), 0) AS DECIMAL(18, 2)) AS leaf_gbp
    FROM comparison.use_by_job AS line
),

unpriced AS (
    SELECT string_agg(DISTINCT line.material, ', ' ORDER BY line.material) AS materials
    FROM comparison.use_by_job AS line
    INNER JOIN usage.calendar AS calendar
        ON line.completed_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
    WHERE line.used_quantity IS NOT NULL AND line.cost_gbp IS NULL
),

flagged AS (
    SELECT count(DISTINCT line.material) AS material_count
    FROM comparison.use_by_job AS line
    WHERE
        contains(line.cost_how, 'first paid after')
        OR (line.cost_how = 'price in force' AND line.price_how = 'first paid after')
),

bought AS (
    SELECT cast(coalesce(sum(line.line_net_gbp), 0) AS DECIMAL(18, 0)) AS goods_gbp
    FROM ledger.purchases AS line
    INNER JOIN usage.calendar AS calendar
        ON
            coalesce(line.delivered_on, line.document_on)
            BETWEEN calendar.lately_from_on AND calendar.month_end_on
    WHERE line.line_kind = 'goods'
),

used AS (
    SELECT cast(coalesce(sum(line.used_gbp), 0) AS DECIMAL(18, 0)) AS used_gbp
    FROM comparison.use_by_job AS line
    INNER JOIN usage.calendar AS calendar
        ON line.completed_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
),

counted AS (
    SELECT max(stood.counted_on) AS counted_on
    FROM stock.last_count AS stood
),

file AS (
    SELECT
        (
            SELECT
                count(
                    DISTINCT concat_ws(
                        '/', fault.receipt_no, fault.sheet, fault.row_no, fault.part_no
                    )
                )
            FROM receipt.reject AS fault
            WHERE fault.mended_by_receipt_no IS NULL
        ) AS rejected_count,
        count(*) FILTER (
            WHERE received.message IS NOT NULL AND received.outcome IS DISTINCT FROM 'to type in'
        ) AS unread_count
    FROM receipt.file AS received
),

warned AS (
    SELECT count(*) AS warning_count
    FROM result.check_outcome AS outcome
    WHERE outcome.fault_count > 0
)

SELECT
    1 AS order_no,
    summed.job_gbp = leaf.leaf_gbp AS is_good,
    CASE
        WHEN summed.job_gbp = leaf.leaf_gbp THEN 'The sums add up: £'
        ELSE 'The sums do not add up: £'
    END
    || format('{:,}', cast(summed.job_gbp AS BIGINT))
    || ' of materials, to the penny the sum of its job lines.' AS sentence
FROM summed
CROSS JOIN leaf
UNION ALL
SELECT
    2 AS order_no,
    used.used_gbp >= 0.9 * bought.goods_gbp AS is_good,
    'In the last three months £' || format('{:,}', cast(bought.goods_gbp AS BIGINT))
    || ' of material was bought, and £' || format('{:,}', cast(used.used_gbp AS BIGINT))
    || ' worth stands against jobs; '
    || CASE
        WHEN used.used_gbp > bought.goods_gbp THEN 'the difference came out of stock.'
        ELSE 'the rest lies in stock or has no job on record.'
    END AS sentence
FROM bought
CROSS JOIN used
WHERE bought.goods_gbp > 0
UNION ALL
SELECT
    3 AS order_no,
    counted.counted_on >= calendar.month_end_on - 35 AS is_good,
    'Last count: ' || strftime(counted.counted_on, '%-d %B %Y') || '.' AS sentence
FROM counted
CROSS JOIN usage.calendar AS calendar
WHERE counted.counted_on IS NOT NULL
UNION ALL
SELECT
    3 AS order_no,
    FALSE AS is_good,
    'Nothing was counted yet: what lies in the yard is not known.' AS sentence
FROM counted
WHERE counted.counted_on IS NULL
UNION ALL
SELECT
    4 AS order_no,
    FALSE AS is_good,
    'No price is known of ' || unpriced.materials
    || ': their use is not in the money of the last three months.' AS sentence
FROM unpriced
WHERE unpriced.materials IS NOT NULL
UNION ALL
SELECT
    5 AS order_no,
    FALSE AS is_good,
    'For ' || flagged.material_count
    || CASE flagged.material_count WHEN 1 THEN ' material' ELSE ' materials' END
    || ' early jobs are taken at the first price paid later, as none is known before.' AS sentence
FROM flagged
WHERE flagged.material_count > 0
UNION ALL
SELECT
    6 AS order_no,
    file.rejected_count + file.unread_count = 0 AS is_good,
    CASE file.rejected_count + file.unread_count
        WHEN 0 THEN 'Every row handed in was read.'
        ELSE
            'Could not be read: ' || file.rejected_count
            || CASE file.rejected_count WHEN 1 THEN ' row' ELSE ' rows' END
            || CASE file.unread_count
                WHEN 0 THEN ''
                WHEN 1 THEN ', and something in 1 file'
                ELSE ', and something in ' || file.unread_count || ' files'
            END || '.'
    END AS sentence
FROM file
UNION ALL
SELECT
    7 AS order_no,
    FALSE AS is_good,
    CASE warned.warning_count
        WHEN 1 THEN 'One check asks' ELSE warned.warning_count || ' checks ask'
    END || ' for a look: see what the run printed.' AS sentence
FROM warned
WHERE warned.warning_count > 0
ORDER BY order_no
