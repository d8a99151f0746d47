-- From one count of a material to the next: what stood, came and went, and what is unaccounted for.
--
-- Grain:     one row per material, to_on
-- Reads:     feed.count_day, feed.issue_habit, feed.stock_move, usage.net_quantity,
--            usage.job_quantity, ledger.jobs, ledger.materials, stock.price_step
-- Units:     base units. difference = opening + moves - closing: above 0 there is less than the
--            papers say. A count stands at the end of its day, so that movements of the day of the
--            earlier count are not in, those of the later one are. Variances in base units squared.
--            Where jobs book whole packs, an open pack is booked already: its rest is in no count,
--            and the next job that uses it up books nothing. unrecorded_count: finished jobs that
--            need the material and do not say what they took. difference_gbp: at the price in force
--            on the day of the later count, rounded here by way of six places
-- Left out:  counts that lack a place in which the material stood: the interval spans them
WITH
stood AS (
    SELECT
        listed.material,
        listed.counted_on,
        habit.material IS NOT NULL AS has_issue_records,
        coalesce(habit.is_whole_packs, FALSE) AS is_whole_packs,
        CASE WHEN habit.is_whole_packs THEN listed.sealed_quantity ELSE listed.quantity END
            AS quantity,
        CASE WHEN habit.is_whole_packs THEN listed.sealed_variance ELSE listed.variance END
            AS variance
    FROM feed.count_day AS listed
    LEFT JOIN feed.issue_habit AS habit ON listed.material = habit.material
    WHERE listed.missing_places IS NULL
),

counted AS (
    SELECT
        stood.material,
        stood.counted_on,
        stood.quantity,
        stood.variance,
        stood.has_issue_records,
        stood.is_whole_packs,
        lag(stood.counted_on) OVER earlier AS from_on,
        lag(stood.quantity) OVER earlier AS opening_quantity,
        lag(stood.variance) OVER earlier AS opening_variance
    FROM stood
    WINDOW earlier AS (PARTITION BY stood.material ORDER BY stood.counted_on)
),

moved AS (
    SELECT
        counted.material,
        counted.counted_on,
        sum(flow.quantity) AS quantity,
        sum(flow.quantity) FILTER (WHERE flow.flow = 'bought') AS bought_quantity,
        -sum(flow.quantity) FILTER (WHERE flow.flow = 'to supplier') AS to_supplier_quantity,
        -sum(flow.quantity) FILTER (WHERE flow.flow = 'issued') AS issued_quantity,
        sum(flow.quantity) FILTER (WHERE flow.flow = 'returned') AS returned_quantity,
        sum(flow.quantity) FILTER (WHERE flow.flow = 'racked') AS racked_quantity,
        -sum(flow.quantity) FILTER (WHERE flow.flow = 'from rack') AS from_rack_quantity,
        -sum(flow.quantity) FILTER (WHERE flow.flow = 'scrapped') AS scrapped_quantity,
        -sum(flow.quantity) FILTER (WHERE flow.flow = 'lost') AS lost_quantity,
        sum(flow.variance) AS variance,
        count(*) FILTER (WHERE flow.flow = 'issued') AS issue_count
    FROM counted
    INNER JOIN feed.stock_move AS flow
        ON
            counted.material = flow.material
            AND counted.from_on < flow.moved_on
            AND counted.counted_on >= flow.moved_on
    GROUP BY counted.material, counted.counted_on
),

unrecorded AS (
    SELECT
        counted.material,
        counted.counted_on,
        count(*) AS job_count
    FROM counted
    INNER JOIN usage.net_quantity AS need ON counted.material = need.material
    INNER JOIN ledger.jobs AS job
        ON
            need.job_ref = job.job_ref
            AND job.status = 'completed'
            AND counted.from_on < job.completed_on
            AND counted.counted_on >= job.completed_on
    LEFT JOIN usage.job_quantity AS taken
        ON need.job_ref = taken.job_ref AND need.material = taken.material
    WHERE
        coalesce(need.fitted_net_quantity, need.quoted_net_quantity) > 0
        AND taken.drawn_quantity IS NULL
    GROUP BY counted.material, counted.counted_on
),

flowed AS (
    SELECT
        counted.material,
        counted.from_on,
        counted.counted_on AS to_on,
        counted.opening_quantity,
        counted.quantity AS closing_quantity,
        counted.opening_variance,
        counted.variance AS closing_variance,
        counted.has_issue_records,
        counted.is_whole_packs,
        cast(coalesce(moved.bought_quantity, 0) AS DECIMAL(18, 3)) AS bought_quantity,
        cast(coalesce(moved.to_supplier_quantity, 0) AS DECIMAL(18, 3)) AS to_supplier_quantity,
        cast(coalesce(moved.issued_quantity, 0) AS DECIMAL(18, 3)) AS issued_quantity,
        cast(coalesce(moved.returned_quantity, 0) AS DECIMAL(18, 3)) AS returned_quantity,
        cast(coalesce(moved.racked_quantity, 0) AS DECIMAL(18, 3)) AS racked_quantity,
        cast(coalesce(moved.from_rack_quantity, 0) AS DECIMAL(18, 3)) AS from_rack_quantity,
        cast(coalesce(moved.scrapped_quantity, 0) AS DECIMAL(18, 3)) AS scrapped_quantity,
        cast(coalesce(moved.lost_quantity, 0) AS DECIMAL(18, 3)) AS lost_quantity,
        cast(
            counted.opening_quantity + coalesce(moved.quantity, 0) - counted.quantity
            AS DECIMAL(18, 3)
        ) AS difference_quantity,
        cast(coalesce(moved.variance, 0) AS DOUBLE) AS issue_variance,
        cast(coalesce(moved.issue_count, 0) AS BIGINT) AS issue_count,
        CASE
            WHEN counted.is_whole_packs THEN 0
            ELSE cast(coalesce(unrecorded.job_count, 0) AS BIGINT)
        END AS unrecorded_count
    FROM counted
    LEFT JOIN moved ON counted.material = moved.material AND counted.counted_on = moved.counted_on
    LEFT JOIN unrecorded
        ON counted.material = unrecorded.material AND counted.counted_on = unrecorded.counted_on
    WHERE counted.from_on IS NOT NULL
)

SELECT
    flowed.material,
    item.base_unit,
    flowed.from_on,
    flowed.to_on,
    flowed.opening_quantity,
    flowed.bought_quantity,
    flowed.to_supplier_quantity,
    flowed.issued_quantity,
    flowed.returned_quantity,
    flowed.racked_quantity,
    flowed.from_rack_quantity,
    flowed.scrapped_quantity,
    flowed.lost_quantity,
    flowed.closing_quantity,
    flowed.difference_quantity,
    flowed.opening_variance,
    flowed.closing_variance,
    flowed.issue_variance,
    flowed.issue_count,
    flowed.unrecorded_count,
    flowed.has_issue_records,
    flowed.is_whole_packs,
    step.price_gbp,
    cast(
        cast(flowed.difference_quantity * step.price_gbp AS DECIMAL(24, 6)) AS DECIMAL(12, 2)
    ) AS difference_gbp
FROM flowed
INNER JOIN ledger.materials AS item ON flowed.material = item.material
LEFT JOIN stock.price_step AS step
    ON
        flowed.material = step.material
        AND flowed.to_on >= step.from_on
        AND flowed.to_on < step.until_on
ORDER BY flowed.material, flowed.to_on
