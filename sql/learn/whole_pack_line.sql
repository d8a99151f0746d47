-- Lines of poured and laid materials that were booked in whole packs, so that they are right over
-- many jobs and coarse on each.
--
-- Grain:     one row per job_ref, material
-- Reads:     usage.job_quantity, ledger.jobs, ledger.materials
-- Units:     pack_quantity: base units of a pack
-- Left out:  jobs that are not finished; materials that are used in whole pieces anyway; lines that
--            were weighed or counted. Lines of which nobody said how they were found out count as
--            whole packs where at least 8 in 10 of the material's, and 8 of them, are whole packs
WITH
line AS (
    SELECT
        quantity.job_ref,
        quantity.material,
        item.pack_size,
        coalesce(quantity.how = 'whole packs', FALSE) AS is_said,
        coalesce(quantity.how = 'judged', quantity.how IS NULL) AS is_open,
        quantity.used_quantity % item.pack_size = 0 AS is_whole
    FROM usage.job_quantity AS quantity
    INNER JOIN ledger.jobs AS job
        ON quantity.job_ref = job.job_ref AND job.status = 'completed'
    INNER JOIN ledger.materials AS item ON quantity.material = item.material
    WHERE
        quantity.used_quantity > 0
        AND item.pack_size > 0
        AND quantity.kind NOT IN (
            'trim', 'batten', 'firring', 'board', 'insulation', 'corner piece', 'sundry'
        )
),

heaped AS (
    SELECT
        line.job_ref,
        line.material,
        line.pack_size,
        line.is_said,
        line.is_open AND line.is_whole AS is_like,
        count(*) FILTER (WHERE line.is_open AND line.is_whole) OVER own AS like_count,
        count(*) FILTER (WHERE line.is_open) OVER own AS open_count
    FROM line
    WINDOW own AS (PARTITION BY line.material)
)

SELECT
    heaped.job_ref,
    heaped.material,
    heaped.pack_size AS pack_quantity
FROM heaped
WHERE
    heaped.is_said
    OR (
        heaped.is_like
        AND heaped.like_count >= 8
        AND 10 * heaped.like_count >= 8 * heaped.open_count
    )
