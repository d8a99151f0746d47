-- Which line of goods a credit lowers, and by how much.
--
-- Grain:     one row per line of a credit and line of goods that it lowers
-- Reads:     feed.purchase_line, feed.landed_line
-- Units:     pence and base units, above 0 where they lower the lot. Goods that went back lower one
--            line, the first that holds as much; a credit of money alone is shared over the lines
--            that it names by their value. A lot is lowered from its first day, so that the jobs
--            which used it bear the credit in the shares in which they used it
-- Left out:  credits that name no invoice, or none that is held, or another material; all credits
--            of a line together where they are more than it: they stand in feed.own_line
WITH
credit AS (
    SELECT
        line.supplier,
        line.document_no,
        line.year,
        line.line_rank,
        line.material,
        line.document_on,
        line.credits_document_no,
        line.credits_line_no,
        -line.net_pence AS credit_pence,
        greatest(-coalesce(line.quantity, 0), 0) AS back_quantity
    FROM feed.purchase_line AS line
    WHERE line.document_type = 'credit' AND line.line_kind = 'goods'
),

named AS (
    SELECT
        credit.supplier,
        credit.document_no AS credit_document_no,
        credit.year AS credit_year,
        credit.line_rank AS credit_line_rank,
        credit.document_on AS credited_on,
        credit.credit_pence,
        credit.back_quantity,
        goods.document_no,
        goods.year,
        goods.line_rank,
        goods.material,
        goods.cost_pence,
        goods.quantity,
        row_number() OVER (
            PARTITION BY credit.supplier, credit.document_no, credit.year, credit.line_rank
            ORDER BY (goods.quantity >= credit.back_quantity) DESC, goods.line_rank ASC
        ) AS choice
    FROM credit
    INNER JOIN feed.landed_line AS goods
        ON
            credit.supplier = goods.supplier
            AND credit.credits_document_no = goods.document_no
            AND credit.material = goods.material
            AND credit.document_on >= goods.document_on
            AND goods.line_no IS NOT DISTINCT FROM coalesce(credit.credits_line_no, goods.line_no)
    QUALIFY
        goods.year = max(goods.year) OVER (
            PARTITION BY credit.supplier, credit.document_no, credit.year, credit.line_rank
        )
),

shared AS (
    SELECT
        named.supplier,
        named.credit_document_no,
        named.credit_year,
        named.credit_line_rank,
        named.credited_on,
        named.document_no,
        named.year,
        named.line_rank,
        named.material,
        named.cost_pence,
        named.quantity,
        named.back_quantity,
        named.credit_pence,
        sum(named.cost_pence) OVER (credit ORDER BY named.line_rank ASC) AS upto_pence,
        sum(named.cost_pence) OVER credit AS all_pence
    FROM named
    WHERE named.choice = 1 OR named.back_quantity = 0
    WINDOW credit AS (
        PARTITION BY
            named.supplier, named.credit_document_no, named.credit_year, named.credit_line_rank
    )
),

lowered AS (
    SELECT
        shared.supplier,
        shared.credit_document_no,
        shared.credit_year,
        shared.credit_line_rank,
        shared.credited_on,
        shared.document_no,
        shared.year,
        shared.line_rank,
        shared.material,
        shared.back_quantity,
        shared.cost_pence,
        shared.quantity,
        cast(
            (2 * shared.credit_pence * shared.upto_pence + shared.all_pence)
            // (2 * shared.all_pence)
            - (
                2 * shared.credit_pence * (shared.upto_pence - shared.cost_pence)
                + shared.all_pence
            )
            // (2 * shared.all_pence)
            AS BIGINT
        ) AS credit_pence
    FROM shared
    WHERE shared.all_pence > 0 AND shared.credit_pence >= 0
),

checked AS (
    SELECT
        lowered.supplier,
        lowered.document_no,
        lowered.year,
        lowered.line_rank,
        max(lowered.cost_pence) >= sum(lowered.credit_pence)
        AND max(lowered.quantity) >= sum(lowered.back_quantity) AS holds_as_much
    FROM lowered
    GROUP BY lowered.supplier, lowered.document_no, lowered.year, lowered.line_rank
)

SELECT
    lowered.supplier,
    lowered.credit_document_no,
    lowered.credit_year,
    lowered.credit_line_rank,
    lowered.credited_on,
    lowered.document_no,
    lowered.year,
    lowered.line_rank,
    lowered.material,
    lowered.credit_pence,
    cast(lowered.back_quantity AS DECIMAL(18, 3)) AS back_quantity
FROM lowered
INNER JOIN checked
    ON
        lowered.supplier = checked.supplier
        AND lowered.document_no = checked.document_no
        AND lowered.year = checked.year
        AND lowered.line_rank = checked.line_rank
WHERE checked.holds_as_much
