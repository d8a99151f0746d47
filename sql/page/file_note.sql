-- What to know of the files that were read: passed over on purpose, or unusual.
--
-- Grain:     one row per note
-- Reads:     receipt.note, receipt.file
-- Units:     count of files; file_name the newest of them
-- Left out:  nothing
SELECT
    told.file_note,
    arg_max(file.file_name, file.receipt_no) AS file_name,
    count(*) AS file_count
FROM receipt.note AS told
INNER JOIN receipt.file AS file ON told.receipt_no = file.receipt_no
GROUP BY told.file_note
ORDER BY max(file.receipt_no) DESC, told.file_note ASC
