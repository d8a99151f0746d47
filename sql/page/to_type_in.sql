-- Photos, scans and PDFs that are kept but not read, and what each is tied to by its name.
--
-- Grain:     one row per receipt_no
-- Reads:     receipt.file, ledger.jobs, ledger.purchases, ledger.suppliers
-- Units:     none; tied_to, NULL where not known: the job and the supplier whose reference or name
--            stands in the file's name; a supplier also by its first word of four letters or more,
--            where one alone fits
-- Left out:  files in whose name the number of a purchase stands that is held, of the supplier tied
--            where one is
WITH
file AS (
    SELECT
        kept.receipt_no,
        kept.file_name,
        kept.message,
        cast(kept.batch_at AS DATE) AS received_on,
        ' ' || regexp_replace(
            lower(regexp_replace(kept.file_name, '\.[^.]*$', '')), '[^0-9a-z]+', ' ', 'g'
        )
        || ' ' AS words
    FROM receipt.file AS kept
    WHERE kept.outcome = 'to type in'
),

supplier AS (
    SELECT
        listed.supplier,
        trim(regexp_replace(lower(listed.supplier), '[^0-9a-z]+', ' ', 'g')) AS words
    FROM (
        SELECT bought.supplier FROM ledger.purchases AS bought
        UNION
        SELECT terms.supplier FROM ledger.suppliers AS terms
    ) AS listed
),

fitting AS (
    SELECT
        file.receipt_no,
        supplier.supplier,
        contains(file.words, ' ' || supplier.words || ' ') AS is_whole
    FROM file
    INNER JOIN supplier
        ON
            supplier.words != ''
            AND (
                contains(file.words, ' ' || supplier.words || ' ')
                OR (
                    length(split_part(supplier.words, ' ', 1)) >= 4
                    AND contains(file.words, ' ' || split_part(supplier.words, ' ', 1) || ' ')
                )
            )
),

sold_by AS (
    SELECT
        fitting.receipt_no,
        CASE
            WHEN count(*) FILTER (WHERE fitting.is_whole) = 1
                THEN max(fitting.supplier) FILTER (WHERE fitting.is_whole)
            WHEN count(*) = 1 THEN max(fitting.supplier)
        END AS supplier
    FROM fitting
    GROUP BY fitting.receipt_no
),

typed_in AS (
    SELECT DISTINCT
        line.supplier,
        line.document_no,
        trim(regexp_replace(lower(line.document_no), '[^0-9a-z]+', ' ', 'g')) AS words
    FROM ledger.purchases AS line
),

for_job AS (
    SELECT
        file.receipt_no,
        CASE WHEN count(*) = 1 THEN max(job.job_ref) END AS job_ref
    FROM file
    INNER JOIN ledger.jobs AS job
        ON
            length(job.job_ref) >= 3
            AND contains(
                file.words,
                ' ' || trim(regexp_replace(lower(job.job_ref), '[^0-9a-z]+', ' ', 'g')) || ' '
            )
    GROUP BY file.receipt_no
)

SELECT
    file.file_name,
    file.received_on,
    file.message,
    nullif(concat_ws(', ', for_job.job_ref, sold_by.supplier), '') AS tied_to
FROM file
LEFT JOIN sold_by ON file.receipt_no = sold_by.receipt_no
LEFT JOIN for_job ON file.receipt_no = for_job.receipt_no
WHERE
    NOT EXISTS (
        SELECT bought.document_no
        FROM typed_in AS bought
        WHERE
            length(bought.words) >= 3
            AND bought.supplier = coalesce(sold_by.supplier, bought.supplier)
            AND contains(file.words, ' ' || bought.words || ' ')
    )
ORDER BY file.receipt_no DESC
