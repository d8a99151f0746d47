-- Credits of the last year that lower no delivery, and so no cost of any job.
--
-- Grain:     one row per line of a credit
-- Reads:     feed.own_line, usage.calendar
-- Units:     GBP ex VAT, above 0 is money back; dated by the credit itself
-- Left out:  credits of carriage and other things that are no goods
SELECT
    own.supplier,
    own.document_no,
    own.received_on AS credited_on,
    own.material,
    cast(-own.net_pence * 0.01 AS DECIMAL(12, 2)) AS credit_gbp
FROM feed.own_line AS own
INNER JOIN usage.calendar AS calendar
    ON own.received_on BETWEEN calendar.year_from_on AND calendar.as_of
WHERE own.document_type = 'credit' AND own.why = 'credit that lowers no lot'
ORDER BY own.received_on ASC, own.supplier ASC, own.document_no ASC, own.line_rank ASC
