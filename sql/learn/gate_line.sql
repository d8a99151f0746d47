-- Every recorded use of a finished job beside its base, before anything is held back.
--
-- Grain:     one row per job_ref, material
-- Reads:     usage.job_quantity, learn.base_quantity, learn.copied_line, ledger.jobs,
--            ledger.materials, result.cut_job, setting.firm
-- Units:     base units of the roof as fitted; DOUBLE, for statistics only. lump_quantity: what
--            use goes up and down by, where a job uses whole pieces or books whole packs; of mat
--            a third of a strip of the best plan, since a slip is more than six lumps off and two
--            strips more are none; else 0
-- Left out:  lines that repeat what was allowed; lines without a use or a base above 0; jobs
--            finished after the day that the run stands for
SELECT
    quantity.material,
    quantity.kind,
    quantity.base_unit,
    quantity.job_ref,
    job.completed_on,
    cast(base.base_quantity AS DOUBLE) AS base_quantity,
    cast(quantity.used_quantity AS DOUBLE) AS used_quantity,
    cast(item.pack_size AS DOUBLE) AS pack_quantity,
    cast(
        coalesce(
            CASE
                WHEN quantity.kind IN ('trim', 'batten', 'firring')
                    THEN item.stock_length_mm / 1000
                WHEN quantity.kind IN ('board', 'insulation')
                    THEN coalesce(item.length_mm * item.width_mm / 1000000, item.pack_size)
                WHEN quantity.kind IN ('corner piece', 'sundry') THEN 1
                WHEN quantity.kind = 'mat' THEN laid.used_up_quantity / laid.lengths_count / 3
                WHEN
                    quantity.kind IN ('adhesive', 'sealant', 'fixing', 'bandage', 'solvent')
                    OR quantity.how = 'whole packs'
                    THEN item.pack_size
            END,
            0
        ) AS DOUBLE
    ) AS lump_quantity
FROM usage.job_quantity AS quantity
INNER JOIN ledger.jobs AS job ON quantity.job_ref = job.job_ref
INNER JOIN setting.firm AS firm ON job.completed_on <= firm.as_of
INNER JOIN ledger.materials AS item ON quantity.material = item.material
INNER JOIN learn.base_quantity AS base
    ON
        quantity.job_ref = base.job_ref
        AND quantity.material = base.material
        AND base.stage = 'fitted'
LEFT JOIN result.cut_job AS laid
    ON
        quantity.job_ref = laid.job_ref
        AND quantity.material = laid.material
        AND laid.stage = 'fitted'
        AND laid.plan = 'best'
ANTI JOIN learn.copied_line AS copied
    ON quantity.job_ref = copied.job_ref AND quantity.material = copied.material
WHERE
    job.status = 'completed'
    AND quantity.used_quantity > 0
    AND base.base_quantity > 0
ORDER BY quantity.material, job.completed_on, quantity.job_ref
