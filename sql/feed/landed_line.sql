-- What each line of goods cost with its share of the document's carriage and discounts.
--
-- Grain:     one row per line of goods with a quantity, of an invoice
-- Reads:     feed.purchase_line, setting.firm
-- Units:     pence; landed_pence: carriage (unless the settings keep it on its own line), discount,
--            rebate and rounding of the document, shared by the lines' value, the odd pennies to
--            the largest remainders, then to the first lines; cost = net + landed. delivery_pence:
--            how much of landed is carriage, shared by value with cumulative rounding
-- Left out:  lines without a quantity; what a document without goods of value charges besides, and
--            a discount that is more than the goods: they stand in feed.own_line
WITH
goods AS (
    SELECT
        line.supplier,
        line.document_no,
        line.year,
        line.line_rank,
        line.net_pence,
        sum(line.net_pence) OVER document AS goods_pence,
        sum(line.net_pence) OVER (document ORDER BY line.line_rank ASC) AS upto_pence
    FROM feed.purchase_line AS line
    WHERE
        line.document_type = 'invoice'
        AND line.line_kind = 'goods'
        AND line.quantity > 0
        AND line.net_pence >= 0
    WINDOW document AS (PARTITION BY line.supplier, line.document_no, line.year)
),

beside AS (
    SELECT
        line.supplier,
        line.document_no,
        line.year,
        sum(line.net_pence) AS beside_pence,
        coalesce(sum(line.net_pence) FILTER (WHERE line.line_kind = 'carriage'), 0)
            AS carriage_pence
    FROM feed.purchase_line AS line
    CROSS JOIN setting.firm AS firm
    WHERE
        line.document_type = 'invoice'
        AND line.line_kind IN ('carriage', 'discount', 'rebate', 'rounding')
        AND (line.line_kind != 'carriage' OR firm.carriage IS DISTINCT FROM 'own line')
    GROUP BY line.supplier, line.document_no, line.year
),

shared AS (
    SELECT
        goods.supplier,
        goods.document_no,
        goods.year,
        goods.line_rank,
        beside.beside_pence,
        (2 * beside.carriage_pence * goods.upto_pence + goods.goods_pence)
        // (2 * goods.goods_pence)
        - (
            2 * beside.carriage_pence * (goods.upto_pence - goods.net_pence) + goods.goods_pence
        )
        // (2 * goods.goods_pence) AS delivery_pence,
        (abs(beside.beside_pence) * goods.net_pence) // goods.goods_pence AS whole_pence,
        (abs(beside.beside_pence) * goods.net_pence) % goods.goods_pence AS rest_pence
    FROM goods
    INNER JOIN beside
        ON
            goods.supplier = beside.supplier
            AND goods.document_no = beside.document_no
            AND goods.year = beside.year
    WHERE goods.goods_pence > 0 AND goods.goods_pence + beside.beside_pence >= 0
),

turned AS (
    SELECT
        shared.supplier,
        shared.document_no,
        shared.year,
        shared.line_rank,
        shared.beside_pence,
        shared.delivery_pence,
        shared.whole_pence,
        row_number() OVER (
            PARTITION BY shared.supplier, shared.document_no, shared.year
            ORDER BY shared.rest_pence DESC, shared.line_rank ASC
        ) AS turn,
        abs(shared.beside_pence) - sum(shared.whole_pence) OVER (
            PARTITION BY shared.supplier, shared.document_no, shared.year
        ) AS odd_pence
    FROM shared
),

landed AS (
    SELECT
        turned.supplier,
        turned.document_no,
        turned.year,
        turned.line_rank,
        turned.delivery_pence,
        sign(turned.beside_pence)
        * (turned.whole_pence + cast(turned.turn <= turned.odd_pence AS BIGINT)) AS landed_pence
    FROM turned
)

SELECT
    line.supplier,
    line.document_no,
    line.year,
    line.line_rank,
    line.line_no,
    line.material,
    line.document_on,
    line.received_on,
    line.quantity,
    line.lot,
    line.expires_on,
    line.net_pence,
    cast(coalesce(landed.landed_pence, 0) AS BIGINT) AS landed_pence,
    cast(coalesce(landed.delivery_pence, 0) AS BIGINT) AS delivery_pence,
    cast(line.net_pence + coalesce(landed.landed_pence, 0) AS BIGINT) AS cost_pence
FROM feed.purchase_line AS line
INNER JOIN goods
    ON
        line.supplier = goods.supplier
        AND line.document_no = goods.document_no
        AND line.year = goods.year
        AND line.line_rank = goods.line_rank
        AND line.document_type = 'invoice'
LEFT JOIN landed
    ON
        line.supplier = landed.supplier
        AND line.document_no = landed.document_no
        AND line.year = landed.year
        AND line.line_rank = landed.line_rank
