-- Every row received that a job's price or the cost of its materials may rest on.
--
-- Grain:     one row per record, row of the history; one more where it was taken back
-- Reads:     history.jobs, history.extras, history.job_materials, history.offcuts, history.losses,
--            history.purchases, history.prices, history.stock_counts, history.materials,
--            receipt.withdrawn_row, receipt.file
-- Units:     none. A row taken back stands at the row that took it back, in the batch of that;
--            job_ref, material: what it is of, blank where it names none. tells_day: a row of a job
--            that fills its day of completion or its status, on which its materials may rest
-- Left out:  rows that were not taken in; edges, which move no money
WITH
held AS (
    SELECT
        'jobs' AS record,
        line.job_ref,
        NULL AS material,
        line.receipt_no,
        line.sheet,
        line.row_no,
        line.part_no,
        line.batch_no,
        coalesce(line.completed_on IS NOT NULL OR line.status IS NOT NULL, FALSE) AS tells_day
    FROM history.jobs AS line
    UNION ALL
    SELECT
        'extras' AS record,
        line.job_ref,
        NULL AS material,
        line.receipt_no,
        line.sheet,
        line.row_no,
        line.part_no,
        line.batch_no,
        FALSE AS tells_day
    FROM history.extras AS line
    UNION ALL
    SELECT
        'job_materials' AS record,
        line.job_ref,
        line.material,
        line.receipt_no,
        line.sheet,
        line.row_no,
        line.part_no,
        line.batch_no,
        FALSE AS tells_day
    FROM history.job_materials AS line
    UNION ALL
    SELECT
        'offcuts' AS record,
        line.job_ref,
        line.material,
        line.receipt_no,
        line.sheet,
        line.row_no,
        line.part_no,
        line.batch_no,
        FALSE AS tells_day
    FROM history.offcuts AS line
    UNION ALL
    SELECT
        'losses' AS record,
        line.job_ref,
        line.material,
        line.receipt_no,
        line.sheet,
        line.row_no,
        line.part_no,
        line.batch_no,
        FALSE AS tells_day
    FROM history.losses AS line
    UNION ALL
    SELECT
        'purchases' AS record,
        NULL AS job_ref,
        line.material,
        line.receipt_no,
        line.sheet,
        line.row_no,
        line.part_no,
        line.batch_no,
        FALSE AS tells_day
    FROM history.purchases AS line
    UNION ALL
    SELECT
        'prices' AS record,
        NULL AS job_ref,
        line.material,
        line.receipt_no,
        line.sheet,
        line.row_no,
        line.part_no,
        line.batch_no,
        FALSE AS tells_day
    FROM history.prices AS line
    UNION ALL
    SELECT
        'stock_counts' AS record,
        NULL AS job_ref,
        line.material,
        line.receipt_no,
        line.sheet,
        line.row_no,
        line.part_no,
        line.batch_no,
        FALSE AS tells_day
    FROM history.stock_counts AS line
    UNION ALL
    SELECT
        'materials' AS record,
        NULL AS job_ref,
        line.material,
        line.receipt_no,
        line.sheet,
        line.row_no,
        line.part_no,
        line.batch_no,
        FALSE AS tells_day
    FROM history.materials AS line
)

SELECT
    held.record,
    held.job_ref,
    held.material,
    held.receipt_no,
    held.sheet,
    held.row_no,
    held.part_no,
    held.batch_no,
    held.tells_day,
    FALSE AS is_taken_back
FROM held
UNION ALL
SELECT
    held.record,
    held.job_ref,
    held.material,
    gone.withdrawn_receipt_no AS receipt_no,
    gone.withdrawn_sheet AS sheet,
    gone.withdrawn_row_no AS row_no,
    held.part_no,
    file.batch_no,
    held.tells_day,
    TRUE AS is_taken_back
FROM receipt.withdrawn_row AS gone
INNER JOIN held
    ON
        gone.record = held.record
        AND gone.receipt_no = held.receipt_no
        AND gone.sheet = held.sheet
        AND gone.row_no = held.row_no
        AND gone.part_no = held.part_no
INNER JOIN receipt.file AS file ON gone.withdrawn_receipt_no = file.receipt_no
