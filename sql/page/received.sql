-- What was handed in, from which source, and what became of its rows.
--
-- Grain:     one row per source
-- Reads:     receipt.file, learn.held_back, ledger.job_materials
-- Units:     counts of files and rows; last_on the day of the last batch. rows read = accepted +
--            rejected + already held + skipped; repaired and held back are part of accepted
-- Left out:  of what was held back, rows that record no use, as a quote's need; figures that a run
--            kept at a closing, which nobody handed in
WITH
held AS (
    SELECT
        card.receipt_no,
        count(*) AS held_back_count
    FROM ledger.job_materials AS card
    SEMI JOIN learn.held_back AS held
        ON card.job_ref = held.job_ref AND card.material = held.material
    WHERE coalesce(card.issued_quantity, card.returned_quantity) IS NOT NULL
    GROUP BY card.receipt_no
)

SELECT
    cast(sum(file.rows_read_count) AS BIGINT) AS rows_read_count,
    cast(sum(file.accepted_count) AS BIGINT) AS accepted_count,
    cast(sum(file.repaired_count) AS BIGINT) AS repaired_count,
    cast(coalesce(sum(held.held_back_count), 0) AS BIGINT) AS held_back_count,
    cast(sum(file.rejected_count) AS BIGINT) AS rejected_count,
    cast(sum(file.already_held_count) AS BIGINT) AS already_held_count,
    cast(sum(file.skipped_count) AS BIGINT) AS skipped_count,
    cast(max(file.batch_at) AS DATE) AS last_on,
    CASE file.source WHEN 'canonical' THEN 'own columns' ELSE file.source END AS source,
    count(*) AS file_count
FROM receipt.file AS file
LEFT JOIN held ON file.receipt_no = held.receipt_no
WHERE file.source != 'kept at a closing'
GROUP BY file.source
ORDER BY file.source
