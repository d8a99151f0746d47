-- Rows that could not be taken in, with why and what would mend them, newest first.
--
-- Grain:     one row per receipt_no, sheet, row_no, part_no, column_name
-- Reads:     receipt.reject, receipt.file
-- Units:     none
-- Left out:  rows that came back mended
SELECT
    file.file_name,
    fault.sheet,
    fault.row_no,
    fault.column_name,
    fault.value,
    fault.reason,
    fault.remedy
FROM receipt.reject AS fault
INNER JOIN receipt.file AS file ON fault.receipt_no = file.receipt_no
WHERE fault.mended_by_receipt_no IS NULL
ORDER BY
    fault.receipt_no DESC,
    fault.sheet ASC,
    fault.row_no ASC,
    fault.part_no ASC,
    fault.column_name ASC
