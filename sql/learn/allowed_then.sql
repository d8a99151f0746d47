-- What stood for each job that is learned from: the decision before its month, else its quote.
--
-- Grain:     one row per job_ref, material
-- Reads:     learn.use_line, ledger.decisions, usage.allowed
-- Units:     base units; DOUBLE, for statistics only. Decided: the newest decision before the first
--            day of the month in which the job was finished, for the job type or for all; on one
--            day the type's own. As quoted: what the job's quote allowed, charged and loaded alike
-- Left out:  jobs with neither
WITH
decided AS (
    SELECT
        use_line.job_ref,
        use_line.material,
        cast(decision.fixed_loss AS DOUBLE) AS fixed_loss,
        cast(decision.price_ratio AS DOUBLE) AS price_ratio,
        cast(decision.load_ratio AS DOUBLE) AS load_ratio
    FROM learn.use_line AS use_line
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
)

SELECT
    use_line.job_ref,
    use_line.material,
    CASE WHEN decided.job_ref IS NULL THEN 'as quoted' ELSE 'decided' END AS how,
    coalesce(
        use_line.base_quantity
        + decided.fixed_loss
        + decided.price_ratio * use_line.base_quantity,
        cast(allowed.allowed_quantity AS DOUBLE)
    ) AS charged_quantity,
    coalesce(
        use_line.base_quantity
        + decided.fixed_loss
        + decided.load_ratio * use_line.base_quantity,
        cast(allowed.allowed_quantity AS DOUBLE)
    ) AS loaded_quantity
FROM learn.use_line AS use_line
LEFT JOIN decided
    ON use_line.job_ref = decided.job_ref AND use_line.material = decided.material
LEFT JOIN usage.allowed AS allowed
    ON use_line.job_ref = allowed.job_ref AND use_line.material = allowed.material
WHERE decided.job_ref IS NOT NULL OR allowed.allowed_quantity IS NOT NULL
