-- The one record that would help most next, and why.
--
-- Grain:     one row, or none where every record is complete enough
-- Reads:     page.firm, page.coverage, ledger.purchases
-- Units:     none
-- Left out:  records that nine jobs in ten bring already
WITH
bought AS (
    SELECT count(*) AS line_count
    FROM ledger.purchases AS line
    WHERE line.line_kind = 'goods'
),

missing AS (
    SELECT
        1 AS step_no,
        0 AS order_no,
        'A list of finished jobs would help most next: reference, type, day, area and price. '
        || 'Without it nothing can be said of a job.' AS sentence
    FROM page.firm AS firm
    WHERE firm.finished_job_count = 0
    UNION ALL
    SELECT
        2 AS step_no,
        0 AS order_no,
        'A year of invoices would help most next: about an hour, once. With them we could say '
        || 'what a square metre costs in material.' AS sentence
    FROM bought
    WHERE bought.line_count = 0
    UNION ALL
    SELECT
        CASE WHEN covered.order_no <= 2 THEN 3 ELSE 5 END AS step_no,
        covered.order_no,
        covered.record_label || ': '
        || covered.with_record_count || ' of ' || covered.job_count
        || ' jobs finished lately bring it. With it on the rest we could say ' || covered.answer
        || '.' AS sentence
    FROM page.coverage AS covered
    WHERE covered.with_record_count < 0.9 * covered.job_count
    UNION ALL
    SELECT
        4 AS step_no,
        0 AS order_no,
        'A count of six to eight materials, now and at each month''s end, would help most next: '
        || 'twenty minutes. With it we could say what was used, not only what was bought.'
            AS sentence
    FROM page.firm AS firm
    WHERE NOT firm.has_counts
)

SELECT missing.sentence
FROM missing
ORDER BY missing.step_no, missing.order_no
LIMIT 1
