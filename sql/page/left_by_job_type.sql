-- What each job type left after materials lately, of every pound of price.
--
-- Grain:     one row per job_type
-- Reads:     margin.job, comparison.use_by_job, usage.calendar, setting.firm
-- Units:     GBP ex VAT, sums of the jobs' rounded figures; ratios of sums, over price. low and
--            high: the ratio -/+ 1.645 x sd of the jobs' ratios / root of their number, which is
--            nine in ten under a normal law; below_aim = aim x price - left, where above 0;
--            unpriced_count: materials used of which no price is known: they are not in it
-- Left out:  jobs without a price, without any recorded use, or not finished in the months; the
--            range under three jobs; labour unless every job of the row has it
WITH
job AS (
    SELECT
        done.job_type,
        done.price_gbp,
        done.materials_gbp,
        done.labour_gbp,
        done.left_gbp,
        cast(done.left_gbp / done.price_gbp AS DOUBLE) AS left_ratio,
        done.completed_on >= calendar.lately_from_on AS is_lately
    FROM margin.job AS done
    INNER JOIN usage.calendar AS calendar
        ON done.completed_on BETWEEN calendar.before_from_on AND calendar.month_end_on
    WHERE done.left_gbp IS NOT NULL AND done.price_gbp > 0
),

lately AS (
    SELECT
        job.job_type,
        cast(sum(job.price_gbp) AS DECIMAL(12, 2)) AS price_gbp,
        cast(sum(job.materials_gbp) AS DECIMAL(12, 2)) AS materials_gbp,
        cast(
            CASE WHEN count(job.labour_gbp) = count(*) THEN sum(job.labour_gbp) END
            AS DECIMAL(12, 2)
        ) AS labour_gbp,
        cast(sum(job.left_gbp) AS DECIMAL(12, 2)) AS left_gbp,
        count(*) AS job_count,
        sum(job.left_gbp) / sum(job.price_gbp) AS left_ratio,
        CASE
            WHEN count(*) >= 3
                THEN 1.645 * stddev_samp(job.left_ratio ORDER BY job.left_ratio) / sqrt(count(*))
        END AS half_ratio
    FROM job
    WHERE job.is_lately
    GROUP BY job.job_type
),

unpriced AS (
    SELECT
        done.job_type,
        count(DISTINCT line.material) AS material_count
    FROM margin.job AS done
    INNER JOIN usage.calendar AS calendar
        ON done.completed_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
    INNER JOIN comparison.use_by_job AS line ON done.job_ref = line.job_ref
    WHERE
        done.left_gbp IS NOT NULL
        AND done.price_gbp > 0
        AND line.used_quantity IS NOT NULL
        AND line.cost_gbp IS NULL
    GROUP BY done.job_type
),

earlier AS (
    SELECT
        job.job_type,
        count(*) AS job_count,
        sum(job.left_gbp) / sum(job.price_gbp) AS left_ratio
    FROM job
    WHERE NOT job.is_lately
    GROUP BY job.job_type
)

SELECT
    lately.job_type,
    lately.job_count,
    lately.price_gbp,
    lately.materials_gbp,
    lately.labour_gbp,
    lately.left_gbp,
    lately.left_ratio,
    earlier.left_ratio AS before_ratio,
    cast(
        CASE
            WHEN lately.left_ratio < firm.left_aim_ratio
                THEN firm.left_aim_ratio * cast(lately.price_gbp AS DOUBLE) - lately.left_gbp
        END AS DECIMAL(12, 2)
    ) AS below_aim_gbp,
    lately.left_ratio - lately.half_ratio AS low_ratio,
    lately.left_ratio + lately.half_ratio AS high_ratio,
    coalesce(earlier.job_count, 0) AS before_job_count,
    coalesce(unpriced.material_count, 0) AS unpriced_count
FROM lately
CROSS JOIN setting.firm AS firm
LEFT JOIN unpriced ON lately.job_type = unpriced.job_type
LEFT JOIN earlier ON lately.job_type = earlier.job_type
ORDER BY lately.job_type
