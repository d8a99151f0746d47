-- What calibration learns from: the use of a material on a finished job beside its base.
--
-- Grain:     one row per job_ref, material
-- Reads:     usage.job_quantity, learn.base_quantity, learn.held_back, learn.least_quantity,
--            learn.whole_pack_line, ledger.jobs, ledger.materials, setting.firm
-- Units:     base units of the roof as fitted, quoted_ of the roof as quoted; DOUBLE, for
--            statistics only. best and no_reuse: what the two plans of what is cut use up;
--            piece_quantity: a length, board, cartridge or single piece, of what is used in
--            pieces; whole_pack_quantity: the pack of a line that was booked in whole packs
-- Left out:  lines held back, without a recorded use, or without a base above 0; call-backs; jobs
--            finished after the day that the run stands for
SELECT
    quantity.material,
    quantity.kind,
    quantity.base_unit,
    quantity.job_ref,
    job.job_type,
    job.completed_on,
    cast(base.base_quantity AS DOUBLE) AS base_quantity,
    cast(quantity.used_quantity AS DOUBLE) AS used_quantity,
    cast(base.net_quantity AS DOUBLE) AS net_quantity,
    cast(base.best_quantity AS DOUBLE) AS best_quantity,
    cast(base.no_reuse_quantity AS DOUBLE) AS no_reuse_quantity,
    cast(quoted.best_quantity AS DOUBLE) AS quoted_best_quantity,
    cast(quoted.no_reuse_quantity AS DOUBLE) AS quoted_no_reuse_quantity,
    cast(
        CASE quantity.kind
            WHEN 'batten' THEN cast(item.stock_length_mm AS DECIMAL(18, 3)) / 1000
            WHEN 'board' THEN cast(item.length_mm * item.width_mm AS DECIMAL(18, 3)) / 1000000
            WHEN 'corner piece' THEN 1
            WHEN 'adhesive' THEN item.pack_size
            WHEN 'sealant' THEN item.pack_size
        END AS DOUBLE
    ) AS piece_quantity,
    cast(lowest.least_quantity AS DOUBLE) AS least_quantity,
    cast(coarse.pack_quantity AS DOUBLE) AS whole_pack_quantity,
    cast(job.area_m2 AS DOUBLE) AS area_m2,
    cast(job.quoted_area_m2 AS DOUBLE) AS quoted_area_m2
FROM usage.job_quantity AS quantity
INNER JOIN ledger.jobs AS job ON quantity.job_ref = job.job_ref
INNER JOIN ledger.materials AS item ON quantity.material = item.material
INNER JOIN setting.firm AS firm ON job.completed_on <= firm.as_of
INNER JOIN learn.base_quantity AS base
    ON
        quantity.job_ref = base.job_ref
        AND quantity.material = base.material
        AND base.stage = 'fitted'
LEFT JOIN learn.least_quantity AS lowest
    ON quantity.job_ref = lowest.job_ref AND quantity.material = lowest.material
LEFT JOIN learn.whole_pack_line AS coarse
    ON quantity.job_ref = coarse.job_ref AND quantity.material = coarse.material
LEFT JOIN learn.base_quantity AS quoted
    ON
        quantity.job_ref = quoted.job_ref
        AND quantity.material = quoted.material
        AND quoted.stage = 'quoted'
ANTI JOIN learn.held_back AS held
    ON quantity.job_ref = held.job_ref AND quantity.material = held.material
WHERE
    job.status = 'completed'
    AND job.remedial_of IS NULL
    AND quantity.used_quantity IS NOT NULL
    AND base.base_quantity > 0
ORDER BY quantity.material, job.completed_on, quantity.job_ref
