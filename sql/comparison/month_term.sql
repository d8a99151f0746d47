-- What moved the value of the stock in a month, term by term, each from the relation that knows it.
--
-- Grain:     one row per month_on, material, term
-- Reads:     feed.landed_line, feed.lot_credit, feed.own_line, result.lot, result.issue_cost,
--            result.rack_credit, result.rack_charge, result.count_test
-- Units:     pence, above 0. Into the stock: first count; goods (net of credits, which take the day
--            of the lot that they lower); delivery (carriage and discounts in the lots); outside
--            (charged, and out of no lot: before the first count, or no paper tells of it); found.
--            Out of it: jobs (lots taken, with rack pieces used and without those racked); not
--            booked (missing where jobs do not say what they took); losses; scrapped; returned;
--            missing (any other difference of a count); not in stock (counted already by the first
--            count, or went back whole). Beside it: credited (credits by their own day); own line
-- Left out:  terms of which no price is known: blank
WITH
credit AS (
    SELECT
        lowered.supplier,
        lowered.document_no,
        lowered.year,
        lowered.line_rank,
        sum(lowered.credit_pence) AS credit_pence
    FROM feed.lot_credit AS lowered
    GROUP BY lowered.supplier, lowered.document_no, lowered.year, lowered.line_rank
),

moved AS (
    SELECT
        goods.material,
        goods.received_on AS moved_on,
        'goods' AS term,
        goods.net_pence - coalesce(credit.credit_pence, 0) AS pence
    FROM feed.landed_line AS goods
    LEFT JOIN credit
        ON
            goods.supplier = credit.supplier
            AND goods.document_no = credit.document_no
            AND goods.year = credit.year
            AND goods.line_rank = credit.line_rank
    UNION ALL
    SELECT
        goods.material,
        goods.received_on AS moved_on,
        'delivery' AS term,
        goods.landed_pence AS pence
    FROM feed.landed_line AS goods
    UNION ALL
    SELECT
        lowered.material,
        lowered.credited_on AS moved_on,
        'credited' AS term,
        lowered.credit_pence AS pence
    FROM feed.lot_credit AS lowered
    UNION ALL
    SELECT
        own.material,
        own.received_on AS moved_on,
        CASE
            WHEN own.why IN ('before the first count', 'went back whole') THEN 'not in stock'
            ELSE 'own line'
        END AS term,
        own.net_pence AS pence
    FROM feed.own_line AS own
    UNION ALL
    SELECT
        lot.material,
        lot.received_on AS moved_on,
        CASE lot.how WHEN 'opening' THEN 'first count' ELSE 'found' END AS term,
        lot.cost_pence AS pence
    FROM result.lot AS lot
    WHERE lot.how != 'bought'
    UNION ALL
    SELECT
        issue.material,
        issue.out_on AS moved_on,
        CASE
            WHEN issue.flow = 'job' THEN 'jobs'
            WHEN issue.flow = 'loss' THEN 'losses'
            WHEN issue.flow = 'to supplier' THEN 'returned'
            WHEN counted.is_tested THEN 'missing'
            ELSE 'not booked'
        END AS term,
        cast(issue.cost_gbp * 100 AS BIGINT) AS pence
    FROM result.issue_cost AS issue
    LEFT JOIN result.count_test AS counted
        ON
            issue.flow = 'count'
            AND issue.material = counted.material
            AND issue.out_on = counted.to_on
    UNION ALL
    SELECT
        issue.material,
        issue.out_on AS moved_on,
        'outside' AS term,
        cast(issue.cost_gbp * 100 AS BIGINT) AS pence
    FROM result.issue_cost AS issue
    WHERE NOT issue.is_from_stock
    UNION ALL
    SELECT
        credit.material,
        credit.moved_on,
        'jobs' AS term,
        -credit.cost_pence AS pence
    FROM result.rack_credit AS credit
    UNION ALL
    SELECT
        charge.material,
        charge.moved_on,
        CASE charge.fate WHEN 'from_rack' THEN 'jobs' ELSE 'scrapped' END AS term,
        charge.cost_pence AS pence
    FROM result.rack_charge AS charge
    UNION ALL
    SELECT
        charge.material,
        charge.moved_on,
        'outside' AS term,
        charge.unracked_pence AS pence
    FROM result.rack_charge AS charge
)

SELECT
    moved.material,
    moved.term,
    cast(date_trunc('month', moved.moved_on) AS DATE) AS month_on,
    CASE WHEN bool_and(moved.pence IS NOT NULL) THEN cast(sum(moved.pence) AS BIGINT) END AS pence
FROM moved
GROUP BY moved.material, moved.term, cast(date_trunc('month', moved.moved_on) AS DATE)
