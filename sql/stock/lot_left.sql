-- What is left in the stock by counts and records, lot by lot, and what it cost.
--
-- Grain:     one row per material, lot_no with something left; of stock on a moving average one row
--            per material, lot_no blank
-- Reads:     result.lot, result.fifo_issue, result.average_left, ledger.materials
-- Units:     base units; GBP, the lot's pence less those of its issues
-- Left out:  lots that are used up
WITH
taken AS (
    SELECT
        issue.material,
        issue.lot_no,
        sum(issue.quantity) AS quantity,
        sum(issue.cost_pence) AS cost_pence
    FROM result.fifo_issue AS issue
    GROUP BY issue.material, issue.lot_no
)

SELECT
    lot.material,
    lot.lot_no,
    lot.received_on,
    lot.expires_on,
    lot.lot,
    cast(lot.quantity - coalesce(taken.quantity, 0) AS DECIMAL(18, 3)) AS left_quantity,
    cast((lot.cost_pence - coalesce(taken.cost_pence, 0)) * 0.01 AS DECIMAL(12, 2)) AS left_gbp
FROM result.lot AS lot
INNER JOIN ledger.materials AS item ON lot.material = item.material
LEFT JOIN taken ON lot.material = taken.material AND lot.lot_no = taken.lot_no
WHERE
    item.costing IS DISTINCT FROM 'average' AND lot.quantity > coalesce(taken.quantity, 0)
UNION ALL
SELECT
    pooled.material,
    NULL AS lot_no,
    NULL AS received_on,
    NULL AS expires_on,
    NULL AS lot,
    pooled.left_quantity,
    cast(pooled.left_pence * 0.01 AS DECIMAL(12, 2)) AS left_gbp
FROM result.average_left AS pooled
WHERE pooled.left_quantity > 0
