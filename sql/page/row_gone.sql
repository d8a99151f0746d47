-- Rows that still count though the newest version of their file tells them no more, newest first.
--
-- Grain:     one row per record, key
-- Reads:     receipt.row_gone, receipt.file
-- Units:     count of rows; file_name, gone_on: the version that first left them out, and its day;
--            told_in, sheet, row_no: where they were told last; is_new: left out by the newest
--            batch, else asked about before
-- Left out:  rows that were taken back, or that are in the newest version again
WITH
newest AS (
    SELECT max(file.batch_no) AS batch_no
    FROM receipt.file AS file
)

SELECT
    later.file_name,
    later.batch_no,
    gone.record,
    gone.key,
    told.file_name AS told_in,
    gone.sheet,
    gone.row_no,
    gone.gone_count,
    cast(later.batch_at AS DATE) AS gone_on,
    coalesce(later.batch_no = newest.batch_no, FALSE) AS is_new
FROM receipt.row_gone AS gone
INNER JOIN receipt.file AS told ON gone.receipt_no = told.receipt_no
INNER JOIN receipt.file AS later ON gone.gone_receipt_no = later.receipt_no
CROSS JOIN newest
ORDER BY
    later.batch_no DESC,
    later.file_name ASC,
    gone.record ASC,
    gone.receipt_no ASC,
    gone.sheet ASC,
    gone.row_no ASC,
    gone.key ASC
