-- A row that was taken back: it is on record, and the figures still hold the row.
--
-- Severity:  warn
-- Grain:     one row per withdrawal
-- Reads:     ledger.withdrawn
-- Units:     none
-- Left out:  nothing
SELECT
    'the withdrawal of ' || gone.record || ' ' || gone.key || ' is on record and not applied: '
    || 'hand the row in again with its right figures, or with "none" where it has none' AS fault
FROM ledger.withdrawn AS gone
ORDER BY gone.record, gone.key, gone.withdrawn_on
