-- Where the last invoices ask for another price than the quotes are made with.
--
-- Grain:     one row per material
-- Reads:     stock.bought_line, stock.supplier_asked, stock.price_in_force, ledger.materials,
--            usage.calendar
-- Units:     GBP per base unit. compared_with: 'list', the price in force, beside the mean of the
--            last three invoices; 'invoice before', without a list, beside the newest.
--            month_gbp: the difference on a month's buying, the mean of the three months lately
-- Left out:  differences of 2 in the hundred or less; other suppliers than the one asked; other
--            packs than the listed one, or the last bought; invoices older than twelve months
WITH
paid AS (
    SELECT
        line.material,
        line.supplier,
        line.document_no,
        line.bought_on,
        line.pack_size,
        sum(line.line_net_gbp) / sum(line.quantity) AS price_gbp
    FROM stock.bought_line AS line
    INNER JOIN stock.supplier_asked AS asked
        ON line.material = asked.material AND line.supplier = asked.supplier
    INNER JOIN usage.calendar AS calendar ON line.bought_on >= calendar.year_from_on
    GROUP BY line.material, line.supplier, line.document_no, line.bought_on, line.pack_size
),

listed AS (
    SELECT
        price.material,
        price.pack_size,
        price.price_gbp,
        price.from_on
    FROM stock.price_in_force AS price
    WHERE price.how = 'list'
),

of_one_pack AS (
    SELECT
        paid.material,
        paid.supplier,
        paid.document_no,
        paid.bought_on,
        paid.price_gbp,
        listed.price_gbp AS list_price_gbp,
        listed.from_on AS list_from_on,
        coalesce(
            listed.pack_size,
            first_value(paid.pack_size) OVER (
                PARTITION BY paid.material
                ORDER BY paid.bought_on DESC, paid.document_no DESC, paid.pack_size DESC
            )
        ) = paid.pack_size AS is_that_pack
    FROM paid
    LEFT JOIN listed ON paid.material = listed.material
),

numbered AS (
    SELECT
        pack.material,
        pack.supplier,
        pack.document_no,
        pack.bought_on,
        pack.price_gbp,
        pack.list_price_gbp,
        pack.list_from_on,
        row_number() OVER (
            PARTITION BY pack.material ORDER BY pack.bought_on DESC, pack.document_no DESC
        ) AS newness
    FROM of_one_pack AS pack
    WHERE pack.is_that_pack
),

newest AS (
    SELECT
        numbered.material,
        max(numbered.supplier) AS supplier,
        max(numbered.list_price_gbp) AS list_price_gbp,
        max(numbered.list_from_on) AS list_from_on,
        avg(numbered.price_gbp) FILTER (WHERE numbered.newness <= 3) AS mean_price_gbp,
        max(numbered.price_gbp) FILTER (WHERE numbered.newness = 1) AS price_gbp,
        max(numbered.document_no) FILTER (WHERE numbered.newness = 1) AS document_no,
        max(numbered.bought_on) FILTER (WHERE numbered.newness = 1) AS bought_on,
        max(numbered.price_gbp) FILTER (WHERE numbered.newness = 2) AS before_price_gbp,
        max(numbered.bought_on) FILTER (WHERE numbered.newness = 2) AS before_on,
        least(count(*), 3) AS invoice_count
    FROM numbered
    GROUP BY numbered.material
),

compared AS (
    SELECT
        newest.material,
        newest.supplier,
        newest.document_no,
        newest.bought_on,
        cast(
            coalesce(newest.list_price_gbp, newest.before_price_gbp) AS DECIMAL(20, 12)
        ) AS known_price_gbp,
        cast(
            CASE
                WHEN newest.list_price_gbp IS NULL THEN newest.price_gbp
                ELSE newest.mean_price_gbp
            END AS DECIMAL(20, 12)
        ) AS asked_price_gbp,
        CASE WHEN newest.list_price_gbp IS NULL THEN 'invoice before' ELSE 'list' END
            AS compared_with,
        CASE WHEN newest.list_price_gbp IS NULL THEN 1 ELSE newest.invoice_count END
            AS invoice_count,
        CASE WHEN newest.list_price_gbp IS NULL THEN newest.before_on ELSE newest.list_from_on END
            AS known_from_on
    FROM newest
),

lately AS (
    SELECT
        line.material,
        cast(sum(line.quantity) AS DOUBLE) / 3 AS month_quantity
    FROM stock.bought_line AS line
    INNER JOIN usage.calendar AS calendar
        ON line.bought_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
    GROUP BY line.material
)

SELECT
    compared.material,
    item.base_unit,
    compared.supplier,
    compared.document_no,
    compared.bought_on,
    compared.compared_with,
    compared.invoice_count,
    compared.known_from_on,
    compared.known_price_gbp,
    compared.asked_price_gbp,
    cast(
        (compared.asked_price_gbp - compared.known_price_gbp) * lately.month_quantity
        AS DECIMAL(12, 2)
    ) AS month_gbp,
    compared.asked_price_gbp / compared.known_price_gbp - 1 AS change_ratio
FROM compared
INNER JOIN ledger.materials AS item ON compared.material = item.material
LEFT JOIN lately ON compared.material = lately.material
WHERE
    compared.known_price_gbp > 0
    AND abs(compared.asked_price_gbp - compared.known_price_gbp) > 0.02 * compared.known_price_gbp
