-- Every movement into and out of the stock on its day, the rack being part of the stock.
--
-- Grain:     one row per line of a document, card, rack list or loss
-- Reads:     ledger.purchases, ledger.job_materials, ledger.jobs, ledger.offcuts, ledger.losses,
--            ledger.materials, setting.counting, usage.calendar
-- Units:     base units, above 0 into the stock, below 0 out of it. flow: bought, to supplier,
--            issued, returned, racked, from rack, scrapped, lost. variance in base units squared,
--            from the errors of the settings: one weighing, or a judged share of a pack, for what
--            was issued and again for what came back; counted pieces and whole packs are exact
-- Left out:  movements without a day (a job not finished that names none), after the day that the
--            run stands for; losses on a job, and what a job binned: they are part of its use
WITH
card AS (
    SELECT
        entry.material,
        entry.job_ref,
        entry.issued_quantity,
        entry.returned_quantity,
        entry.how,
        item.pack_size,
        coalesce(entry.issued_on, job.completed_on) AS moved_on,
        counting.judged_error_ratio
        * coalesce(item.pack_size, entry.issued_quantity, entry.returned_quantity) AS judged_error,
        CASE
            WHEN entry.how IN ('counted', 'whole packs') THEN 0
            WHEN entry.how = 'weighed'
                THEN
                    CASE item.base_unit
                        WHEN 'kg' THEN counting.weighing_error_kg
                        WHEN 'l' THEN counting.weighing_error_kg / item.density_kg_per_l
                        WHEN 'm2' THEN counting.weighing_error_kg * 1000 / item.g_per_m2
                    END
        END AS known_error
    FROM ledger.job_materials AS entry
    INNER JOIN ledger.jobs AS job ON entry.job_ref = job.job_ref
    INNER JOIN ledger.materials AS item ON entry.material = item.material
    CROSS JOIN setting.counting AS counting
),

side AS (
    SELECT
        card.material,
        card.job_ref,
        card.moved_on,
        card.how,
        card.pack_size,
        'issued' AS flow,
        -card.issued_quantity AS quantity,
        coalesce(card.known_error, card.judged_error) AS error
    FROM card
    UNION ALL
    SELECT
        card.material,
        card.job_ref,
        card.moved_on,
        card.how,
        card.pack_size,
        'returned' AS flow,
        card.returned_quantity AS quantity,
        coalesce(card.known_error, card.judged_error) AS error
    FROM card
),

rack AS (
    SELECT
        piece.material,
        piece.job_ref,
        piece.fate,
        coalesce(piece.moved_on, job.completed_on) AS moved_on,
        CASE item.base_unit
            WHEN 'm' THEN cast(piece.length_mm * piece.pieces AS DECIMAL(18, 3)) / 1000
            WHEN 'm2'
                THEN
                    cast(piece.length_mm * item.width_mm * piece.pieces AS DECIMAL(18, 3)) / 1000000
        END AS quantity
    FROM ledger.offcuts AS piece
    INNER JOIN ledger.materials AS item ON piece.material = item.material
    LEFT JOIN ledger.jobs AS job ON piece.job_ref = job.job_ref
    WHERE piece.fate != 'binned' OR piece.job_ref IS NULL
),

move AS (
    SELECT
        line.material,
        cast(NULL AS VARCHAR) AS job_ref,
        coalesce(line.delivered_on, line.document_on) AS moved_on,
        CASE WHEN line.quantity < 0 THEN 'to supplier' ELSE 'bought' END AS flow,
        line.quantity,
        0 AS error,
        cast(NULL AS VARCHAR) AS how
    FROM ledger.purchases AS line
    WHERE line.line_kind = 'goods' AND line.quantity IS NOT NULL
    UNION ALL
    SELECT
        side.material,
        side.job_ref,
        side.moved_on,
        side.flow,
        side.quantity,
        CASE
            WHEN coalesce(side.quantity % side.pack_size = 0, FALSE) THEN 0
            ELSE side.error
        END AS error,
        side.how
    FROM side
    UNION ALL
    SELECT
        rack.material,
        rack.job_ref,
        rack.moved_on,
        CASE rack.fate
            WHEN 'racked' THEN 'racked'
            WHEN 'from_rack' THEN 'from rack'
            ELSE 'scrapped'
        END AS flow,
        CASE rack.fate WHEN 'racked' THEN rack.quantity ELSE -rack.quantity END AS quantity,
        0 AS error,
        cast(NULL AS VARCHAR) AS how
    FROM rack
    UNION ALL
    SELECT
        loss.material,
        cast(NULL AS VARCHAR) AS job_ref,
        loss.lost_on AS moved_on,
        'lost' AS flow,
        -loss.quantity AS quantity,
        0 AS error,
        cast(NULL AS VARCHAR) AS how
    FROM ledger.losses AS loss
    WHERE loss.job_ref IS NULL
)

SELECT
    move.material,
    move.job_ref,
    move.moved_on,
    move.flow,
    move.how,
    cast(move.quantity AS DECIMAL(18, 3)) AS quantity,
    cast(power(move.error, 2) AS DECIMAL(28, 6)) AS variance
FROM move
INNER JOIN usage.calendar AS calendar ON move.moved_on <= calendar.as_of
WHERE move.quantity IS NOT NULL AND move.quantity != 0
