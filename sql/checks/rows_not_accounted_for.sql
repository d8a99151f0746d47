-- A file whose rows do not all have an outcome.
--
-- Severity:  stop
-- Grain:     one row per file at fault
-- Reads:     receipt.file
-- Units:     counts of rows
-- Left out:  nothing
SELECT
    file.file_name || ': ' || file.rows_read_count || ' rows read, '
    || (
        file.accepted_count
        + file.rejected_count
        + file.already_held_count
        + file.skipped_count
    ) || ' with an outcome' AS fault
FROM receipt.file AS file
WHERE
    file.rows_read_count
    != file.accepted_count
    + file.rejected_count
    + file.already_held_count
    + file.skipped_count
ORDER BY file.receipt_no
