-- The list price that quotes are made with, beside what the supplier's last invoices asked.
--
-- Grain:     one row per material
-- Reads:     stock.bought_line, stock.supplier_asked, stock.price_in_force, ledger.materials,
--            usage.calendar
-- Units:     GBP per base unit; change_ratio = newest invoice / list - 1; the gap is what the last
--            three months' lines cost more than at the list price, rounded line by line
-- Left out:  materials not bought from that supplier in the last twelve months
WITH
numbered AS (
    SELECT
        line.material,
        line.supplier,
        line.pack_size,
        line.price_gbp,
        line.bought_on,
        row_number() OVER (
            PARTITION BY line.material
            ORDER BY line.bought_on DESC, line.document_no DESC, line.line_no DESC, line.row_no DESC
        ) AS newness
    FROM stock.bought_line AS line
    INNER JOIN stock.supplier_asked AS asked
        ON line.material = asked.material AND line.supplier = asked.supplier
),

newest AS (
    SELECT
        numbered.material,
        numbered.supplier,
        max(numbered.pack_size) FILTER (WHERE numbered.newness = 1) AS pack_size,
        max(numbered.price_gbp) FILTER (WHERE numbered.newness = 1) AS invoice_price_1_gbp,
        max(numbered.bought_on) FILTER (WHERE numbered.newness = 1) AS invoice_on_1,
        max(numbered.price_gbp) FILTER (WHERE numbered.newness = 2) AS invoice_price_2_gbp,
        max(numbered.price_gbp) FILTER (WHERE numbered.newness = 3) AS invoice_price_3_gbp
    FROM numbered
    GROUP BY numbered.material, numbered.supplier
),

listed AS (
    SELECT
        price.material,
        price.price_gbp,
        price.from_on,
        price.pack_size
    FROM stock.price_in_force AS price
    WHERE price.how = 'list'
),

lately AS (
    SELECT
        line.material,
        cast(sum(line.line_net_gbp) AS DECIMAL(12, 2)) AS bought_gbp,
        cast(
            sum(
                cast(
                    cast(line.line_net_gbp - line.quantity * listed.price_gbp AS DECIMAL(24, 6))
                    AS DECIMAL(12, 2)
                )
            ) AS DECIMAL(12, 2)
        ) AS gap_gbp
    FROM stock.bought_line AS line
    INNER JOIN usage.calendar AS calendar
        ON line.bought_on BETWEEN calendar.lately_from_on AND calendar.month_end_on
    LEFT JOIN listed ON line.material = listed.material
    GROUP BY line.material
)

SELECT
    newest.material,
    item.base_unit,
    listed.price_gbp AS list_price_gbp,
    listed.from_on AS list_from_on,
    newest.invoice_price_1_gbp,
    newest.invoice_on_1,
    newest.invoice_price_2_gbp,
    newest.invoice_price_3_gbp,
    newest.supplier,
    lately.gap_gbp AS lately_gap_gbp,
    coalesce(listed.pack_size, newest.pack_size) AS pack_size,
    CASE
        WHEN listed.price_gbp > 0 THEN newest.invoice_price_1_gbp / listed.price_gbp - 1
    END AS change_ratio,
    coalesce(lately.bought_gbp, 0) AS lately_bought_gbp
FROM newest
INNER JOIN ledger.materials AS item ON newest.material = item.material
INNER JOIN usage.calendar AS calendar ON newest.invoice_on_1 >= calendar.year_from_on
LEFT JOIN listed ON newest.material = listed.material
LEFT JOIN lately ON newest.material = lately.material
