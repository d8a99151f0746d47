-- Pieces put on the rack, taken from it or scrapped, in the order in which they moved.
--
-- Grain:     one row per material, move_no
-- Reads:     ledger.offcuts, ledger.jobs, ledger.materials, usage.calendar
-- Units:     mm, all pieces of the row together; quantity in base units, of sheets m2. A move has
--            its own day, else that of the job's end; on one day what is racked comes first
-- Left out:  pieces binned on a job, which never reached the rack; moves without a day
SELECT
    moved.material,
    moved.job_ref,
    moved.piece,
    moved.fate,
    moved.length_mm,
    moved.pieces,
    cast(
        CASE item.base_unit
            WHEN 'm' THEN moved.length_mm * moved.pieces * 0.001
            WHEN 'm2' THEN moved.length_mm * moved.pieces * item.width_mm * 0.000001
        END AS DECIMAL(18, 3)
    ) AS quantity,
    coalesce(moved.moved_on, job.completed_on) AS moved_on,
    moved.length_mm * moved.pieces AS moved_mm,
    row_number() OVER (
        PARTITION BY moved.material
        ORDER BY
            coalesce(moved.moved_on, job.completed_on) ASC, (moved.fate = 'racked') DESC,
            moved.job_ref ASC NULLS LAST, moved.piece ASC NULLS LAST, moved.length_mm ASC,
            moved.fate ASC, moved.pieces ASC
    ) AS move_no
FROM ledger.offcuts AS moved
LEFT JOIN ledger.jobs AS job ON moved.job_ref = job.job_ref
INNER JOIN usage.calendar AS calendar
    ON coalesce(moved.moved_on, job.completed_on) <= calendar.as_of
INNER JOIN ledger.materials AS item ON moved.material = item.material
WHERE moved.fate IN ('racked', 'from_rack', 'scrapped') AND moved.length_mm * moved.pieces > 0
