-- Edges of open quotes whose last millimetres open one more length of trim.
--
-- Grain:     one row per job_ref, edge_no, material
-- Reads:     usage.edge_run, ledger.jobs, ledger.materials, stock.price_in_force, usage.calendar
-- Units:     mm: run = lengths_count x (stock length - lap) + lap + over, with over from 1 to 100;
--            the run is the edge less its corner covers, and every lap is whole. length_gbp: one
--            new length at the price in force
-- Left out:  jobs that are not quoted or booked; quotes past their day; runs below one length;
--            trims without a length
WITH
run AS (
    SELECT
        side.job_ref,
        side.edge_no,
        side.material,
        side.quoted_edge_mm,
        side.quoted_run_mm,
        item.stock_length_mm,
        job.status,
        coalesce(item.lap_mm, 0) AS lap_mm
    FROM usage.edge_run AS side
    INNER JOIN ledger.jobs AS job
        ON side.job_ref = job.job_ref AND job.status IN ('quoted', 'booked')
    INNER JOIN ledger.materials AS item ON side.material = item.material
    CROSS JOIN usage.calendar AS calendar
    WHERE
        side.kind = 'trim'
        AND item.stock_length_mm > coalesce(item.lap_mm, 0)
        AND side.quoted_run_mm > item.stock_length_mm
        AND (job.status = 'booked' OR coalesce(job.valid_until >= calendar.as_of, TRUE))
),

over_whole AS (
    SELECT
        run.job_ref,
        run.edge_no,
        run.material,
        run.status,
        run.quoted_edge_mm,
        run.quoted_run_mm,
        run.stock_length_mm,
        run.lap_mm,
        (run.quoted_run_mm - run.lap_mm) // (run.stock_length_mm - run.lap_mm) AS lengths_count,
        (run.quoted_run_mm - run.lap_mm) % (run.stock_length_mm - run.lap_mm) AS over_mm
    FROM run
)

SELECT
    over_whole.job_ref,
    over_whole.edge_no,
    over_whole.material,
    over_whole.status,
    over_whole.quoted_edge_mm,
    over_whole.quoted_run_mm,
    over_whole.stock_length_mm,
    over_whole.lap_mm,
    over_whole.lengths_count,
    over_whole.over_mm,
    cast(
        cast(price.price_gbp * over_whole.stock_length_mm / 1000 AS DECIMAL(24, 6))
        AS DECIMAL(12, 2)
    ) AS length_gbp
FROM over_whole
LEFT JOIN stock.price_in_force AS price ON over_whole.material = price.material
WHERE over_whole.over_mm BETWEEN 1 AND 100
