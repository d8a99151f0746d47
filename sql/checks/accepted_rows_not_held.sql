-- A file of which more or fewer rows are held than were accepted.
--
-- Severity:  stop
-- Grain:     one row per file at fault
-- Reads:     receipt.file, history.closed_figures, history.closings, history.decisions,
--            history.descriptions, history.edges, history.extras, history.job_materials,
--            history.jobs, history.losses, history.materials, history.offcuts, history.orders,
--            history.prices, history.purchases, history.statements, history.stock_counts,
--            history.suppliers, history.withdrawn
-- Units:     counts of rows
-- Left out:  nothing
WITH
kept AS (
    SELECT held.receipt_no
    FROM history.closed_figures AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.closings AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.decisions AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.descriptions AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.edges AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.extras AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.job_materials AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.jobs AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.losses AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.materials AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.offcuts AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.orders AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.prices AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.purchases AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.statements AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.stock_counts AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.suppliers AS held
    UNION ALL
    SELECT held.receipt_no
    FROM history.withdrawn AS held
),

counted AS (
    SELECT
        kept.receipt_no,
        count(*) AS held_count
    FROM kept
    GROUP BY kept.receipt_no
)

SELECT
    file.file_name || ': ' || file.accepted_count || ' rows accepted, '
    || coalesce(counted.held_count, 0) || ' held' AS fault
FROM receipt.file AS file
LEFT JOIN counted ON file.receipt_no = counted.receipt_no
WHERE file.accepted_count != coalesce(counted.held_count, 0)
ORDER BY file.receipt_no
