-- What stood for each job that is learned from: the decision before its month, else its quote.
--
-- Grain:     one row per job_ref, material
-- Reads:     learn.use_line, ledger.decisions, usage.allowed
-- Units:     base units; DOUBLE, for statistics only. Decided: the newest decision before the first
--            day of the month in which the job was finished, for the job type or for all; on one
--            day the type's own, on the base of the decision: between the plans as quoted where the
--            roof is within 5 % of its quote, else as fitted; loaded in whole pieces where decided
--            so. As quoted: what the job's quote allowed, charged and loaded alike
-- Left out:  jobs with neither
WITH
line AS (
    SELECT
        use_line.job_ref,
        use_line.material,
        use_line.job_type,
        use_line.completed_on,
        use_line.base_quantity,
        use_line.piece_quantity,
        abs(use_line.area_m2 / use_line.quoted_area_m2 - 1) <= 0.05
        AND use_line.quoted_best_quantity IS NOT NULL
        AND use_line.quoted_no_reuse_quantity IS NOT NULL AS is_as_quoted,
        CASE WHEN is_as_quoted THEN use_line.quoted_best_quantity ELSE use_line.best_quantity END
            AS best_quantity,
        CASE
            WHEN is_as_quoted THEN use_line.quoted_no_reuse_quantity
            ELSE use_line.no_reuse_quantity
        END AS no_reuse_quantity
    FROM learn.use_line AS use_line
),

decided AS (
    SELECT
        use_line.job_ref,
        use_line.material,
        use_line.piece_quantity,
        cast(decision.piece_shift AS DOUBLE) AS piece_shift,
        cast(decision.fixed_loss AS DOUBLE) AS fixed_loss,
        cast(decision.price_ratio AS DOUBLE) AS price_ratio,
        cast(decision.load_ratio AS DOUBLE) AS load_ratio,
        CASE
            WHEN decision.blend_ratio IS NULL THEN use_line.base_quantity
            ELSE
                use_line.best_quantity
                + cast(decision.blend_ratio AS DOUBLE)
                * (use_line.no_reuse_quantity - use_line.best_quantity)
        END AS base_quantity
    FROM line AS use_line
    INNER JOIN ledger.decisions AS decision
        ON
            use_line.material = decision.material
            AND decision.job_type IN (use_line.job_type, 'all')
            AND decision.decided_on < date_trunc('month', use_line.completed_on)
    QUALIFY
        row_number() OVER (
            PARTITION BY use_line.job_ref, use_line.material
            ORDER BY
                decision.decided_on DESC, (decision.job_type = use_line.job_type) DESC
        ) = 1
),

figured AS (
    SELECT
        decided.job_ref,
        decided.material,
        decided.base_quantity + decided.fixed_loss + decided.price_ratio * decided.base_quantity
            AS charged_quantity,
        decided.base_quantity + decided.fixed_loss + decided.load_ratio * decided.base_quantity
            AS poured_quantity,
        coalesce(
            decided.piece_quantity
            * floor(poured_quantity / decided.piece_quantity + decided.piece_shift + 1e-9),
            poured_quantity
        ) AS loaded_quantity
    FROM decided
    WHERE decided.base_quantity IS NOT NULL
)

SELECT
    use_line.job_ref,
    use_line.material,
    CASE WHEN decided.job_ref IS NULL THEN 'as quoted' ELSE 'decided' END AS how,
    coalesce(decided.charged_quantity, cast(allowed.allowed_quantity AS DOUBLE))
        AS charged_quantity,
    coalesce(decided.loaded_quantity, cast(allowed.allowed_quantity AS DOUBLE)) AS loaded_quantity
FROM learn.use_line AS use_line
LEFT JOIN figured AS decided
    ON use_line.job_ref = decided.job_ref AND use_line.material = decided.material
LEFT JOIN usage.allowed AS allowed
    ON use_line.job_ref = allowed.job_ref AND use_line.material = allowed.material
WHERE decided.job_ref IS NOT NULL OR allowed.allowed_quantity IS NOT NULL
