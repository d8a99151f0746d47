-- What left the stock by the papers: jobs, losses, goods sent back.
--
-- Grain:     one row per material, out_on, flow, job_ref, out_key
-- Reads:     ledger.job_materials, ledger.jobs, ledger.losses, feed.purchase_line,
--            feed.lot_credit, feed.landed_line, feed.first_count, usage.calendar
-- Units:     base units, above 0. flow: job, loss (without a job), to supplier (goods that went
--            back and lower no lot in stock). A job's is issued less returned: what came back is
--            taken off what was taken last. moves_stock: after the material's first count
-- Left out:  issues of jobs that name no day and are not finished; what a job brought back beyond
--            what it took; losses on a job, which are part of its use; rack pieces
WITH
issued AS (
    SELECT
        entry.job_ref,
        entry.material,
        entry.entry,
        coalesce(entry.issued_on, job.completed_on) AS out_on,
        coalesce(entry.issued_quantity, 0) AS quantity,
        sum(coalesce(entry.returned_quantity, 0)) OVER line AS returned_quantity,
        sum(coalesce(entry.issued_quantity, 0)) OVER line AS issued_quantity,
        sum(coalesce(entry.issued_quantity, 0)) OVER (
            line ORDER BY coalesce(entry.issued_on, job.completed_on) ASC, entry.entry ASC
        ) AS upto_quantity
    FROM ledger.job_materials AS entry
    INNER JOIN ledger.jobs AS job ON entry.job_ref = job.job_ref
    WHERE coalesce(entry.issued_quantity, entry.returned_quantity) IS NOT NULL
    WINDOW line AS (PARTITION BY entry.job_ref, entry.material)
),

credit AS (
    SELECT
        line.supplier,
        line.document_no,
        line.year,
        line.line_rank,
        line.material,
        line.received_on AS out_on,
        -line.quantity AS quantity
    FROM feed.purchase_line AS line
    WHERE line.document_type = 'credit' AND line.line_kind = 'goods' AND line.quantity < 0
),

lowers_stock AS (
    SELECT
        lowered.supplier,
        lowered.credit_document_no,
        lowered.credit_year,
        lowered.credit_line_rank
    FROM feed.lot_credit AS lowered
    INNER JOIN feed.landed_line AS goods
        ON
            lowered.supplier = goods.supplier
            AND lowered.document_no = goods.document_no
            AND lowered.year = goods.year
            AND lowered.line_rank = goods.line_rank
    LEFT JOIN feed.first_count AS counted ON goods.material = counted.material
    WHERE goods.received_on > coalesce(counted.counted_on, DATE '1900-01-01')
),

movement AS (
    SELECT
        issued.material,
        'job' AS flow,
        issued.job_ref,
        issued.entry AS out_key,
        issued.out_on,
        least(
            issued.quantity,
            greatest(
                issued.issued_quantity - issued.returned_quantity
                - (issued.upto_quantity - issued.quantity),
                0
            )
        ) AS quantity
    FROM issued
    UNION ALL
    SELECT
        loss.material,
        'loss' AS flow,
        NULL AS job_ref,
        loss.entry AS out_key,
        loss.lost_on AS out_on,
        loss.quantity
    FROM ledger.losses AS loss
    WHERE loss.job_ref IS NULL
    UNION ALL
    SELECT
        credit.material,
        'to supplier' AS flow,
        NULL AS job_ref,
        concat_ws(', ', credit.supplier, credit.document_no, credit.year, credit.line_rank)
            AS out_key,
        credit.out_on,
        credit.quantity
    FROM credit
    ANTI JOIN lowers_stock
        ON
            credit.supplier = lowers_stock.supplier
            AND credit.document_no = lowers_stock.credit_document_no
            AND credit.year = lowers_stock.credit_year
            AND credit.line_rank = lowers_stock.credit_line_rank
)

SELECT
    movement.material,
    movement.flow,
    movement.job_ref,
    movement.out_key,
    movement.out_on,
    cast(movement.quantity AS DECIMAL(18, 3)) AS quantity,
    movement.out_on > coalesce(counted.counted_on, DATE '1900-01-01') AS moves_stock
FROM movement
INNER JOIN usage.calendar AS calendar ON movement.out_on <= calendar.as_of
LEFT JOIN feed.first_count AS counted ON movement.material = counted.material
WHERE movement.quantity > 0
