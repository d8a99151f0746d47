-- A job whose edges name an odd number of ends at one kind of corner piece.
--
-- Severity:  warn
-- Grain:     one row per job_ref, corner_piece at fault
-- Reads:     usage.edge_run
-- Units:     counts of ends
-- Left out:  trims without a corner piece of their own
SELECT
    'job ' || side.job_ref || ': ' || sum(side.corner_end_count) || ' ends at ' || side.corner_piece
    || ', and two neighbouring ends make one piece: a neighbour says otherwise' AS fault
FROM usage.edge_run AS side
WHERE side.corner_piece IS NOT NULL
GROUP BY side.job_ref, side.corner_piece
HAVING sum(side.corner_end_count) % 2 = 1
ORDER BY side.job_ref, side.corner_piece
