-- Every lot that came into the stock: what it held and what it cost, less what was credited on it.
--
-- Grain:     one row per material, lot_no (in the order in which lots came in)
-- Reads:     feed.first_count, feed.count_difference, feed.landed_line, feed.lot_credit,
--            stock.price_step
-- Units:     base units; pence, delivery_pence of them carriage. The opening lot is the first
--            count, at the price last paid on or before it, carriage in, else at the price in force
--            on its day. found: what a later count found more than the papers say, at the price in
--            force on its day. Counts stand at the end of their day; on one day by supplier and
--            document, never by file
-- Left out:  lines received on or before the material's first count: they are in what was counted;
--            lots of which everything went back
WITH
credited AS (
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

bought AS (
    SELECT
        goods.material,
        goods.received_on,
        goods.supplier,
        goods.document_no,
        goods.year,
        goods.line_rank,
        goods.lot,
        goods.expires_on,
        goods.delivery_pence,
        goods.quantity - coalesce(credited.back_quantity, 0) AS quantity,
        goods.cost_pence - coalesce(credited.credit_pence, 0) AS cost_pence
    FROM feed.landed_line AS goods
    LEFT JOIN credited
        ON
            goods.supplier = credited.supplier
            AND goods.document_no = credited.document_no
            AND goods.year = credited.year
            AND goods.line_rank = credited.line_rank
),

paid AS (
    SELECT
        counted.material,
        bought.quantity,
        bought.delivery_pence,
        bought.cost_pence
    FROM feed.first_count AS counted
    INNER JOIN bought
        ON counted.material = bought.material AND counted.counted_on >= bought.received_on
    WHERE bought.quantity > 0
    QUALIFY
        row_number() OVER (
            PARTITION BY counted.material
            ORDER BY
                bought.received_on DESC, bought.supplier ASC, bought.document_no ASC,
                bought.year ASC, bought.line_rank ASC
        ) = 1
),

came_in AS (
    SELECT
        bought.material,
        bought.received_on,
        bought.supplier,
        bought.document_no,
        bought.year,
        bought.line_rank,
        bought.lot,
        bought.expires_on,
        bought.quantity,
        'bought' AS how,
        bought.delivery_pence,
        bought.cost_pence
    FROM bought
    LEFT JOIN feed.first_count AS counted ON bought.material = counted.material
    WHERE bought.received_on > coalesce(counted.counted_on, DATE '1900-01-01')
    UNION ALL
    SELECT
        counted.material,
        counted.counted_on AS received_on,
        NULL AS supplier,
        NULL AS document_no,
        NULL AS document_year,
        NULL AS line_rank,
        NULL AS lot,
        NULL AS expires_on,
        counted.quantity,
        'opening' AS how,
        coalesce(
            (
                2 * cast(paid.delivery_pence AS HUGEINT) * cast(counted.quantity * 1000 AS HUGEINT)
                + cast(paid.quantity * 1000 AS HUGEINT)
            )
            // (2 * cast(paid.quantity * 1000 AS HUGEINT)),
            0
        ) AS delivery_pence,
        CASE
            WHEN paid.quantity IS NOT NULL
                THEN
                    (
                        2 * cast(paid.cost_pence AS HUGEINT)
                        * cast(counted.quantity * 1000 AS HUGEINT)
                        + cast(paid.quantity * 1000 AS HUGEINT)
                    )
                    // (2 * cast(paid.quantity * 1000 AS HUGEINT))
            ELSE
                cast(
                    cast(
                        cast(counted.quantity * step.price_gbp AS DECIMAL(24, 6))
                        AS DECIMAL(20, 2)
                    ) * 100 AS HUGEINT
                )
        END AS cost_pence
    FROM feed.first_count AS counted
    LEFT JOIN paid ON counted.material = paid.material
    LEFT JOIN stock.price_step AS step
        ON
            counted.material = step.material
            AND counted.counted_on >= step.from_on
            AND counted.counted_on < step.until_on
    UNION ALL
    SELECT
        counted.material,
        counted.counted_on AS received_on,
        NULL AS supplier,
        NULL AS document_no,
        NULL AS document_year,
        NULL AS line_rank,
        NULL AS lot,
        NULL AS expires_on,
        -counted.difference_quantity AS quantity,
        'found' AS how,
        0 AS delivery_pence,
        cast(
            cast(
                cast(-counted.difference_quantity * step.price_gbp AS DECIMAL(24, 6))
                AS DECIMAL(20, 2)
            ) * 100 AS HUGEINT
        ) AS cost_pence
    FROM feed.count_difference AS counted
    LEFT JOIN stock.price_step AS step
        ON
            counted.material = step.material
            AND counted.counted_on >= step.from_on
            AND counted.counted_on < step.until_on
    WHERE counted.difference_quantity < 0
)

SELECT
    came_in.material,
    came_in.received_on,
    came_in.supplier,
    came_in.document_no,
    came_in.year,
    came_in.line_rank,
    came_in.lot,
    came_in.expires_on,
    came_in.how,
    cast(came_in.quantity AS DECIMAL(18, 3)) AS quantity,
    cast(came_in.cost_pence AS BIGINT) AS cost_pence,
    cast(came_in.delivery_pence AS BIGINT) AS delivery_pence,
    row_number() OVER (
        PARTITION BY came_in.material
        ORDER BY
            came_in.received_on ASC, (came_in.how = 'found') ASC, came_in.supplier ASC,
            came_in.document_no ASC, came_in.year ASC, came_in.line_rank ASC
    ) AS lot_no
FROM came_in
WHERE came_in.quantity > 0
