-- What a finished job brought in, what its materials and labour cost, and what is left.
--
-- Grain:     one row per job_ref
-- Reads:     ledger.jobs, ledger.extras, comparison.use_by_job, feed.vat_rate, setting.firm
-- Units:     GBP ex VAT; price = quote + extras; own = sum of the lines' cost, by their lots where
--            these are known, else at the price in force on the day of completion; vat = what was
--            paid on them and is not taken back, to the penny on each line, 0 where the settings
--            say normal; put right = own and vat of finished call-backs without a price of their
--            own, which name this job as their first; materials = own + vat + put right;
--            left = price - materials, labour not in
-- Left out:  materials of which no price is known: counted and named, not taken for nothing;
--            materials of a job without any recorded use, or where the rate of VAT of a line is
--            needed and not known: blank, and so is what is left; use that a call-back did not
--            record; what is left of a
--            call-back that stands in its first job; labour of call-backs
WITH
extra AS (
    SELECT
        agreed.job_ref,
        cast(sum(agreed.price_gbp) AS DECIMAL(12, 2)) AS price_gbp
    FROM ledger.extras AS agreed
    GROUP BY agreed.job_ref
),

line AS (
    SELECT
        taken.job_ref,
        taken.material,
        taken.cost_gbp,
        CASE
            WHEN taken.cost_gbp IS NULL THEN NULL
            WHEN coalesce(firm.vat, 'normal') = 'normal' THEN 0
            ELSE cast(taken.cost_gbp * rate.vat_pct * 0.01 AS DECIMAL(12, 2))
        END AS vat_gbp
    FROM comparison.use_by_job AS taken
    CROSS JOIN setting.firm AS firm
    LEFT JOIN feed.vat_rate AS rate ON taken.material = rate.material
    WHERE taken.used_quantity IS NOT NULL
),

used AS (
    SELECT
        line.job_ref,
        cast(sum(line.cost_gbp) AS DECIMAL(12, 2)) AS own_gbp,
        count(*) AS material_count,
        count(*) FILTER (WHERE line.cost_gbp IS NULL) AS unpriced_count,
        string_agg(line.material, ', ' ORDER BY line.material)
        FILTER (WHERE line.cost_gbp IS NULL) AS unpriced_materials,
        CASE
            WHEN count(line.vat_gbp) = count(line.cost_gbp)
                THEN cast(sum(line.vat_gbp) AS DECIMAL(12, 2))
        END AS vat_gbp
    FROM line
    GROUP BY line.job_ref
),

priced AS (
    SELECT
        job.job_ref,
        job.job_type,
        job.completed_on,
        job.other_cost_gbp,
        used.own_gbp,
        used.vat_gbp,
        used.unpriced_materials,
        first_job.job_ref AS first_job_ref,
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
    LEFT JOIN ledger.jobs AS first_job
        ON
            job.remedial_of = first_job.job_ref
            AND job.job_ref != first_job.job_ref
            AND first_job.remedial_of IS NULL
            AND first_job.status = 'completed'
            AND firm.as_of >= first_job.completed_on
            AND coalesce(job.quoted_price_gbp, 0)
            + coalesce(extra.price_gbp, job.extras_gbp, 0) = 0
    WHERE job.status = 'completed'
),

put_right AS (
    SELECT
        priced.first_job_ref,
        CASE
            WHEN count(priced.vat_gbp) = count(priced.own_gbp)
                THEN coalesce(sum(priced.own_gbp + priced.vat_gbp), 0)
        END AS put_right_gbp,
        count(*) AS put_right_count
    FROM priced
    WHERE priced.first_job_ref IS NOT NULL
    GROUP BY priced.first_job_ref
),

figured AS (
    SELECT
        priced.job_ref,
        priced.job_type,
        priced.completed_on,
        priced.price_gbp,
        priced.extras_gbp,
        priced.own_gbp,
        priced.vat_gbp,
        priced.material_count,
        priced.unpriced_count,
        priced.unpriced_materials,
        priced.labour_gbp,
        priced.other_cost_gbp,
        priced.first_job_ref,
        coalesce(put_right.put_right_count, 0) AS put_right_count,
        CASE WHEN put_right.first_job_ref IS NULL THEN 0 ELSE put_right.put_right_gbp END
            AS put_right_gbp
    FROM priced
    LEFT JOIN put_right ON priced.job_ref = put_right.first_job_ref
)

SELECT
    figured.job_ref,
    figured.job_type,
    figured.completed_on,
    figured.price_gbp,
    figured.extras_gbp,
    figured.own_gbp,
    figured.vat_gbp,
    figured.put_right_count,
    figured.first_job_ref,
    figured.material_count,
    figured.unpriced_count,
    figured.unpriced_materials,
    figured.labour_gbp,
    figured.other_cost_gbp,
    cast(figured.put_right_gbp AS DECIMAL(12, 2)) AS put_right_gbp,
    cast(
        figured.own_gbp + figured.vat_gbp + figured.put_right_gbp AS DECIMAL(12, 2)
    ) AS materials_gbp,
    cast(date_trunc('month', figured.completed_on) AS DATE) AS month_on,
    CASE
        WHEN figured.first_job_ref IS NULL
            THEN
                cast(
                    figured.price_gbp
                    - figured.own_gbp
                    - figured.vat_gbp
                    - figured.put_right_gbp
                    AS DECIMAL(12, 2)
                )
    END AS left_gbp
FROM figured
