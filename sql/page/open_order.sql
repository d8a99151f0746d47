-- Orders that have not come whole yet, in the order of their days.
--
-- Grain:     one row per order_no, line_no
-- Reads:     ledger.orders
-- Units:     packs; received_packs is the total so far
-- Left out:  cancelled orders, orders of which all packs have come
SELECT
    asked.order_no,
    asked.supplier,
    asked.material,
    asked.packs,
    asked.ordered_on,
    asked.due_on,
    coalesce(asked.received_packs, 0) AS received_packs
FROM ledger.orders AS asked
WHERE
    asked.cancelled_on IS NULL
    AND coalesce(asked.received_packs, 0) < asked.packs
ORDER BY asked.due_on ASC NULLS LAST, asked.ordered_on ASC, asked.order_no ASC, asked.material ASC
