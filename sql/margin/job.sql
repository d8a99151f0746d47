-- What a finished job brought in, what its materials and labour cost, and what is left.
--
-- Grain:     one row per job_ref
-- Reads:     ledger.jobs, ledger.extras, comparison.use_by_job, setting.firm
-- Units:     GBP ex VAT; price = quote + extras; materials = sum of the lines' cost, by their lots
--            where these are known, else at the price in force on the day of completion;
--            left = price - materials, labour not in
-- Left out:  materials of which no price is known: counted and named, not taken for nothing;
--            materials of a job without any recorded use: blank, and so is what is left
WITH
extra AS (
    SELECT
        agreed.job_ref,
        cast(sum(agreed.price_gbp) AS DECIMAL(12, 2)) AS price_gbp
    FROM ledger.extras AS agreed
    GROUP BY agreed.job_ref
),

used AS (
    SELECT
        line.job_ref,
        cast(sum(line.cost_gbp) AS DECIMAL(12, 2)) AS materials_gbp,
        count(*) AS material_count,
        count(*) FILTER (WHERE line.cost_gbp IS NULL) AS unpriced_count,
        string_agg(line.material, ', ' ORDER BY line.material)
        FILTER (WHERE line.cost_gbp IS NULL) AS unpriced_materials
    FROM comparison.use_by_job AS line
    WHERE line.used_quantity IS NOT NULL
    GROUP BY line.job_ref
),

figured AS (
    SELECT
        job.job_ref,
        job.job_type,
        job.completed_on,
        job.other_cost_gbp,
        used.materials_gbp,
        used.unpriced_materials,
        cast(coalesce(extra.price_gbp, job.extras_gbp) AS DECIMAL(12, 2)) AS extras_gbp,
        cast(
            job.quoted_price_gbp + coalesce(extra.price_gbp, job.extras_gbp, 0) AS DECIMAL(12, 2)
        ) AS price_gbp,
        cast(
            coalesce(job.labour_cost_gbp, job.labour_days * firm.labour_day_gbp) AS DECIMAL(12, 2)
        ) AS labour_gbp,
        coalesce(used.material_count, 0) AS material_count,
        coalesce(used.unpriced_count, 0) AS unpriced_count
    FROM ledger.jobs AS job
    INNER JOIN setting.firm AS firm ON job.completed_on <= firm.as_of
    LEFT JOIN extra ON job.job_ref = extra.job_ref
    LEFT JOIN used ON job.job_ref = used.job_ref
    WHERE job.status = 'completed'
)

SELECT
    figured.job_ref,
    figured.job_type,
    figured.completed_on,
    figured.price_gbp,
    figured.extras_gbp,
    figured.materials_gbp,
    figured.material_count,
    figured.unpriced_count,
    figured.unpriced_materials,
    figured.labour_gbp,
    figured.other_cost_gbp,
    cast(date_trunc('month', figured.completed_on) AS DATE) AS month_on,
    cast(figured.price_gbp - figured.materials_gbp AS DECIMAL(12, 2)) AS left_gbp
FROM figured
