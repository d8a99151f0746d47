-- What stands beside the margin, in sentences.
--
-- Grain:     one row per item
-- Reads:     margin.beside
-- Units:     GBP as in margin.beside
-- Left out:  nothing
SELECT
    beside.item,
    beside.gbp,
    beside.item_count,
    CASE beside.item
        WHEN 'retention' THEN 'Held back by customers: owed, not lost; it stands in the price.'
        WHEN 'put right' THEN 'Materials of call-backs; they are in the cost of the first job.'
        WHEN 'vat' THEN 'VAT on materials that you do not take back: it is in their cost.'
        WHEN 'rebate' THEN 'Rebates belong to the year: they lower the cost of no job.'
        WHEN 'deposit' THEN 'Deposits on drums and pallets: they come back with them.'
        ELSE 'Hire on suppliers'' documents: in no job''s cost.'
    END
    || CASE
        WHEN beside.unknown_count > 0
            THEN ' Of ' || beside.unknown_count || ' the figure is not known.'
        ELSE ''
    END AS sentence
FROM margin.beside AS beside
ORDER BY abs(beside.gbp) DESC NULLS LAST, beside.item ASC
