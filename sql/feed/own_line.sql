-- What was paid or credited that stands in no lot of the stock, and why.
--
-- Grain:     one row per line of a document that is, or leaves, such money
-- Reads:     feed.purchase_line, feed.landed_line, feed.lot_credit, feed.first_count,
--            setting.firm
-- Units:     pence, as on the document: below 0 lowers what was paid. With the cost of the lots
--            bought, result.lot, this is all that was bought, to the penny
-- Left out:  nothing
WITH
lowered AS (
    SELECT
        credit.supplier,
        credit.document_no,
        credit.year,
        credit.line_rank,
        sum(credit.credit_pence) AS credit_pence,
        sum(credit.back_quantity) AS back_quantity
    FROM feed.lot_credit AS credit
    GROUP BY credit.supplier, credit.document_no, credit.year, credit.line_rank
),

lowering AS (
    SELECT
        credit.supplier,
        credit.credit_document_no,
        credit.credit_year,
        credit.credit_line_rank,
        sum(credit.credit_pence) AS credit_pence
    FROM feed.lot_credit AS credit
    GROUP BY
        credit.supplier, credit.credit_document_no, credit.credit_year, credit.credit_line_rank
),

landed AS (
    SELECT
        line.supplier,
        line.document_no,
        line.year,
        sum(line.landed_pence) AS landed_pence
    FROM feed.landed_line AS line
    GROUP BY line.supplier, line.document_no, line.year
),

carriage AS (
    SELECT coalesce(firm.carriage, 'landed') = 'landed' AS is_landed
    FROM setting.firm AS firm
),

own AS (
    SELECT
        line.supplier,
        line.document_type,
        line.document_no,
        line.year,
        line.line_rank,
        line.line_kind,
        line.material,
        line.received_on,
        CASE
            WHEN goods.line_rank IS NOT NULL
                THEN goods.cost_pence - coalesce(lowered.credit_pence, 0)
            WHEN line.document_type = 'credit'
                THEN line.net_pence + coalesce(lowering.credit_pence, 0)
            ELSE line.net_pence
        END AS net_pence,
        CASE
            WHEN goods.received_on <= counted.counted_on THEN 'before the first count'
            WHEN goods.quantity <= lowered.back_quantity THEN 'went back whole'
            WHEN goods.line_rank IS NOT NULL THEN 'in a lot'
            WHEN line.document_type = 'credit' AND line.line_kind = 'goods'
                THEN 'credit that lowers no lot'
            WHEN line.line_kind = 'goods' THEN 'goods without a quantity or below nothing'
            WHEN line.document_type = 'credit' THEN 'no goods'
            WHEN
                line.line_kind IN ('carriage', 'discount', 'rebate', 'rounding')
                AND coalesce(landed.landed_pence, 0) != 0
                AND (line.line_kind != 'carriage' OR carriage.is_landed)
                THEN 'in a lot'
            ELSE 'no goods'
        END AS why
    FROM feed.purchase_line AS line
    LEFT JOIN feed.landed_line AS goods
        ON
            line.document_type = 'invoice'
            AND line.supplier = goods.supplier
            AND line.document_no = goods.document_no
            AND line.year = goods.year
            AND line.line_rank = goods.line_rank
    LEFT JOIN feed.first_count AS counted ON goods.material = counted.material
    LEFT JOIN lowered
        ON
            goods.supplier = lowered.supplier
            AND goods.document_no = lowered.document_no
            AND goods.year = lowered.year
            AND goods.line_rank = lowered.line_rank
    LEFT JOIN lowering
        ON
            line.document_type = 'credit'
            AND line.supplier = lowering.supplier
            AND line.document_no = lowering.credit_document_no
            AND line.year = lowering.credit_year
            AND line.line_rank = lowering.credit_line_rank
    LEFT JOIN landed
        ON
            line.document_type = 'invoice'
            AND line.supplier = landed.supplier
            AND line.document_no = landed.document_no
            AND line.year = landed.year
    CROSS JOIN carriage
)

SELECT
    own.supplier,
    own.document_type,
    own.document_no,
    own.year,
    own.line_rank,
    own.line_kind,
    own.material,
    own.received_on,
    own.why,
    cast(own.net_pence AS BIGINT) AS net_pence
FROM own
WHERE own.why != 'in a lot' AND own.net_pence != 0
