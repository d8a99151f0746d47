-- Lines of orders to which no line of an invoice answers.
--
-- Grain:     one row per order_no, line_no
-- Reads:     ledger.orders, ledger.purchases, ledger.materials, usage.calendar
-- Units:     base units; due_on: the day it came, else was due, else was ordered
-- Left out:  cancelled lines; lines that an invoice names by order and material, or that an invoice
--            without an order number answers with the same goods in the 60 days after the order
WITH
ordered AS (
    SELECT
        line.order_no,
        line.line_no,
        line.supplier,
        line.material,
        line.packs,
        line.ordered_on,
        coalesce(line.received_on, line.due_on, line.ordered_on) AS due_on,
        line.packs * coalesce(line.pack_size, item.pack_size) AS quantity
    FROM ledger.orders AS line
    INNER JOIN usage.calendar AS calendar ON line.ordered_on <= calendar.as_of
    INNER JOIN ledger.materials AS item ON line.material = item.material
    WHERE line.cancelled_on IS NULL
)

SELECT
    ordered.order_no,
    ordered.line_no,
    ordered.supplier,
    ordered.material,
    ordered.packs,
    ordered.ordered_on,
    ordered.due_on,
    cast(ordered.quantity AS DECIMAL(18, 3)) AS quantity
FROM ordered
ANTI JOIN ledger.purchases AS named
    ON ordered.order_no = named.order_no AND ordered.material = named.material
ANTI JOIN ledger.purchases AS unnamed
    ON
        unnamed.order_no IS NULL
        AND ordered.supplier = unnamed.supplier
        AND ordered.material = unnamed.material
        AND ordered.quantity = unnamed.quantity
        AND ordered.ordered_on <= unnamed.document_on
        AND ordered.ordered_on + 60 >= unnamed.document_on
WHERE ordered.quantity > 0
ORDER BY ordered.material, ordered.due_on, ordered.order_no, ordered.line_no
