-- What finished jobs needed of the materials that no job books out.
--
-- Grain:     one row per material, job_ref
-- Reads:     learn.base_quantity, feed.stock_move, feed.count_day, ledger.jobs, setting.firm
-- Units:     base units, of the roof as fitted, else as quoted; blank where neither is known;
--            DOUBLE, for statistics only
-- Left out:  materials of which any job says what it took; materials that were never counted;
--            jobs finished after the day that the run stands for
SELECT
    base.material,
    base.job_ref,
    job.completed_on,
    cast(
        coalesce(
            max(base.base_quantity) FILTER (WHERE base.stage = 'fitted'),
            max(base.base_quantity) FILTER (WHERE base.stage = 'quoted')
        ) AS DOUBLE
    ) AS base_quantity
FROM learn.base_quantity AS base
INNER JOIN ledger.jobs AS job ON base.job_ref = job.job_ref
INNER JOIN setting.firm AS firm ON job.completed_on <= firm.as_of
ANTI JOIN feed.stock_move AS taken
    ON base.material = taken.material AND taken.flow IN ('issued', 'from rack')
SEMI JOIN feed.count_day AS counted ON base.material = counted.material
WHERE job.status = 'completed'
GROUP BY base.material, base.job_ref, job.completed_on
ORDER BY base.material, job.completed_on, base.job_ref
