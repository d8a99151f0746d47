-- What the jobs of each month brought in and left: the figures that a closing keeps.
--
-- Grain:     one row per month_on, job_ref, figure; blank job_ref: the month's total
-- Reads:     margin.job, ledger.closings
-- Units:     GBP ex VAT. figure: price, materials, left; totals are sums of the jobs' rounded
--            figures, 0 in a closed month without a priced job
-- Left out:  jobs without a price or without any recorded use, as on the owner's page; the total of
--            a month in which no job with a price has all figures, which is not 0 but unknown
WITH
counted AS (
    SELECT
        done.month_on,
        done.job_ref,
        done.price_gbp,
        done.materials_gbp,
        done.left_gbp
    FROM margin.job AS done
    WHERE done.left_gbp IS NOT NULL AND done.price_gbp > 0
),

figured AS (
    SELECT
        counted.month_on,
        counted.job_ref,
        counted.price_gbp,
        counted.materials_gbp,
        counted.left_gbp
    FROM counted
    UNION ALL
    SELECT
        counted.month_on,
        NULL AS job_ref,
        sum(counted.price_gbp) AS price_gbp,
        sum(counted.materials_gbp) AS materials_gbp,
        sum(counted.left_gbp) AS left_gbp
    FROM counted
    GROUP BY counted.month_on
    UNION ALL
    SELECT
        closing.month_on,
        NULL AS job_ref,
        0 AS price_gbp,
        0 AS materials_gbp,
        0 AS left_gbp
    FROM ledger.closings AS closing
    WHERE NOT EXISTS (
        SELECT 1 FROM margin.job AS done
        WHERE done.month_on = closing.month_on AND done.price_gbp > 0
    )
),

laid_out AS (
    SELECT
        figured.month_on,
        figured.job_ref,
        unnest(['price', 'materials', 'left']) AS figure,
        unnest([figured.price_gbp, figured.materials_gbp, figured.left_gbp]) AS gbp
    FROM figured
)

SELECT
    laid_out.month_on,
    laid_out.job_ref,
    laid_out.figure,
    cast(laid_out.gbp AS DECIMAL(12, 2)) AS gbp
FROM laid_out
