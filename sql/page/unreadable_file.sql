-- Files that could not be read, whole or in part, and what to do.
--
-- Grain:     one row per receipt_no
-- Reads:     receipt.file
-- Units:     none
-- Left out:  files without a message; those to type in, which page.to_type_in lists
SELECT
    file.file_name,
    file.message
FROM receipt.file AS file
WHERE file.message IS NOT NULL AND file.outcome IS DISTINCT FROM 'to type in'
ORDER BY file.receipt_no DESC
