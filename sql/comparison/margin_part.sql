-- Where the margin of each finished job went: its material beyond the quote, part by part.
--
-- Grain:     one row per job_ref, material, part
-- Reads:     ledger.jobs, usage.allowed, usage.net_quantity, usage.job_quantity, usage.calendar,
--            ledger.losses, stock.price_step, result.used_cost, result.cut_job,
--            comparison.cut_split
-- Units:     GBP, whole pennies; positive cost more than quoted. The parts sum to total = cost by
--            lots - quoted quantity at the price on the day of the quote: first the size of the
--            roof, then waste; buying at what was used, the list at what was quoted, all use at
--            the price on the day of completion. Quantities in thousandths, prices in 1e-12, as
--            whole numbers over one denominator; largest remainder, ties by part. What the quote
--            allowed beyond net, laps and cutting of its own best plan is set against avoidable.
--            Parts that cannot be told apart are blank, never 0, and one in 'not split'; why says
--            what is missing; what is poured is split by the losses written down on the job alone,
--            the rest of it is in 'not split'. why_none: why no part of the line is known.
--            delivery_gbp: how much of the buying price is delivery, on its row
-- Left out:  lines without a recorded use or without a quoted quantity; charges for extras
WITH
cut AS (
    SELECT
        split.job_ref,
        split.material,
        quoted.net_quantity AS quoted_net_quantity,
        quoted.lap_quantity AS quoted_lap_quantity,
        split.net_quantity,
        split.lap_quantity,
        split.unavoidable_quantity,
        split.avoidable_quantity,
        quoted.binned_quantity + quoted.kerf_quantity AS quoted_cut_quantity
    FROM comparison.cut_split AS split
    INNER JOIN result.cut_job AS quoted
        ON
            split.job_ref = quoted.job_ref
            AND split.material = quoted.material
            AND quoted.stage = 'quoted'
            AND quoted.plan = 'best'
    WHERE quoted.used_up_quantity IS NOT NULL
),

lost AS (
    SELECT
        loss.job_ref,
        loss.material,
        sum(loss.quantity) AS quantity
    FROM ledger.losses AS loss
    WHERE loss.job_ref IS NOT NULL
    GROUP BY loss.job_ref, loss.material
),

whole AS (
    SELECT
        job.job_ref,
        job.job_type,
        job.completed_on,
        used.material,
        used.kind,
        cast(allowed.allowed_quantity * 1000 AS HUGEINT) AS quoted,
        cast(used.used_quantity * 1000 AS HUGEINT) AS used,
        cast(coalesce(cut.net_quantity, net.fitted_net_quantity) * 1000 AS HUGEINT) AS net,
        cast(cut.quoted_lap_quantity * 1000 AS HUGEINT) AS quoted_lap,
        cast(cut.quoted_cut_quantity * 1000 AS HUGEINT) AS quoted_cut,
        cast(cut.lap_quantity * 1000 AS HUGEINT) AS lap,
        cast(cut.unavoidable_quantity * 1000 AS HUGEINT) AS unavoidable,
        cast(cut.avoidable_quantity * 1000 AS HUGEINT) AS avoidable,
        cast(lost.quantity * 1000 AS HUGEINT) AS lost,
        cast(truly.used_gbp * 100 AS HUGEINT) AS cost_pence,
        cast(cast(was.price_gbp AS DECIMAL(24, 12)) * 1000000 * 1000000 AS HUGEINT) AS was_price,
        cast(cast(step.price_gbp AS DECIMAL(24, 12)) * 1000000 * 1000000 AS HUGEINT) AS price,
        truly.delivery_gbp,
        cut.job_ref IS NOT NULL AS is_cut,
        coalesce(truly.how, 'lots') AS cost_how,
        nullif(
            cast(coalesce(cut.quoted_net_quantity, net.quoted_net_quantity) * 1000 AS HUGEINT), 0
        ) AS quoted_net,
        CASE
            WHEN job.quoted_on IS NULL THEN 'no day of the quote'
            WHEN was.price_gbp IS NULL OR step.price_gbp IS NULL THEN 'no price'
            WHEN truly.used_gbp IS NULL THEN coalesce(truly.how, 'no cost')
        END AS why_none
    FROM ledger.jobs AS job
    INNER JOIN usage.calendar AS calendar ON job.completed_on <= calendar.as_of
    INNER JOIN usage.job_quantity AS used ON job.job_ref = used.job_ref
    INNER JOIN usage.allowed AS allowed
        ON used.job_ref = allowed.job_ref AND used.material = allowed.material
    INNER JOIN usage.net_quantity AS net
        ON used.job_ref = net.job_ref AND used.material = net.material
    LEFT JOIN result.used_cost AS truly
        ON used.job_ref = truly.job_ref AND used.material = truly.material
    LEFT JOIN cut ON used.job_ref = cut.job_ref AND used.material = cut.material
    LEFT JOIN lost ON used.job_ref = lost.job_ref AND used.material = lost.material
    LEFT JOIN stock.price_step AS was
        ON
            used.material = was.material
            AND job.quoted_on >= was.from_on
            AND job.quoted_on < was.until_on
    LEFT JOIN stock.price_step AS step
        ON
            used.material = step.material
            AND job.completed_on >= step.from_on
            AND job.completed_on < step.until_on
    WHERE
        job.status = 'completed'
        AND used.used_quantity IS NOT NULL
        AND allowed.allowed_quantity IS NOT NULL
),

measured AS (
    SELECT
        whole.job_ref,
        whole.job_type,
        whole.completed_on,
        whole.material,
        whole.kind,
        whole.cost_how,
        whole.cost_pence,
        whole.delivery_gbp,
        whole.why_none,
        coalesce(whole.quoted_net, 1) * 100000000000000 AS denominator,
        (2 * whole.quoted * whole.was_price + 10000000000000) // 20000000000000 AS quoted_pence,
        coalesce(whole.quoted_net, 1) * whole.quoted * (whole.price - whole.was_price) AS listed,
        coalesce(whole.quoted_net, 1)
        * (whole.cost_pence * 10000000000000 - whole.used * whole.price) AS bought,
        coalesce(whole.quoted_net, 1) * (whole.used - whole.quoted) * whole.price AS beyond_quote,
        (whole.net - whole.quoted_net) * whole.quoted * whole.price AS scope,
        (whole.lap * whole.quoted_net - whole.quoted_lap * whole.net) * whole.price AS laps,
        (whole.unavoidable * whole.quoted_net - whole.quoted_cut * whole.net) * whole.price
            AS cutting,
        (
            whole.avoidable * whole.quoted_net
            - (whole.quoted - whole.quoted_net - whole.quoted_lap - whole.quoted_cut) * whole.net
        ) * whole.price AS offcut,
        CASE
            WHEN whole.avoidable IS NOT NULL THEN cast(0 AS HUGEINT)
            WHEN NOT whole.is_cut AND whole.kind NOT IN ('trim', 'batten', 'board')
                THEN coalesce(whole.quoted_net, 1) * whole.lost * whole.price
        END AS liquid,
        (whole.used - whole.net - whole.lap - whole.unavoidable - whole.avoidable)
        * whole.quoted_net * whole.price AS unexplained,
        CASE
            WHEN whole.quoted_net IS NULL THEN 'quoted need not known'
            WHEN whole.net IS NULL THEN 'not measured again'
            WHEN NOT whole.is_cut AND whole.kind IN ('trim', 'batten', 'board') THEN 'no plan'
            WHEN NOT whole.is_cut AND whole.lost IS NULL THEN 'waste not measured'
            WHEN NOT whole.is_cut THEN 'only losses written down'
            WHEN whole.avoidable IS NULL THEN 'offcuts not written down'
        END AS why
    FROM whole
),

told AS (
    SELECT
        measured.job_ref,
        measured.material,
        measured.job_type,
        measured.completed_on,
        measured.kind,
        measured.cost_how,
        measured.cost_pence,
        measured.quoted_pence,
        measured.delivery_gbp,
        measured.denominator,
        measured.why,
        measured.why_none,
        [
            10 * measured.listed + 2,
            10 * measured.bought + 6,
            10 * measured.scope + 7,
            10 * measured.laps + 5,
            10 * measured.cutting + 1,
            10 * measured.offcut + 8,
            10 * measured.liquid + 4,
            10 * measured.unexplained + 0,
            10 * (
                measured.beyond_quote
                - coalesce(measured.scope, 0)
                - coalesce(measured.laps, 0)
                - coalesce(measured.cutting, 0)
                - coalesce(measured.offcut, 0)
                - coalesce(measured.liquid, 0)
                - coalesce(measured.unexplained, 0)
            ) + 3
        ] AS parts
    FROM measured
),

-- noqa: disable=RF03
floored AS (
    SELECT
        told.job_ref,
        told.material,
        told.job_type,
        told.completed_on,
        told.kind,
        told.cost_how,
        told.cost_pence,
        told.quoted_pence,
        told.delivery_gbp,
        told.denominator,
        told.why,
        told.why_none,
        told.parts,
        list_transform(
            told.parts,
            LAMBDA part: (part % told.denominator + told.denominator) % told.denominator
        ) AS rests
    FROM told
),

leaf AS (
    SELECT
        floored.job_ref,
        floored.material,
        floored.job_type,
        floored.completed_on,
        floored.kind,
        floored.cost_how,
        floored.cost_pence,
        floored.quoted_pence,
        floored.delivery_gbp,
        floored.why,
        floored.why_none,
        floored.denominator,
        floored.rests,
        floored.cost_pence - floored.quoted_pence
        - (list_sum(floored.parts) - list_sum(floored.rests)) // floored.denominator
            AS spare_pence,
        unnest([1, 2, 3, 4, 5, 6, 7, 8, 9]) AS part_no,
        unnest([
            'price list out of date',
            'buying price',
            'bigger or different',
            'laps',
            'unavoidable cutting',
            'avoidable offcut',
            'liquid waste',
            'unexplained',
            'not split'
        ]) AS part,
        unnest(floored.parts) AS numerator,
        unnest(floored.rests) AS rest
    FROM floored
)

SELECT
    leaf.job_ref,
    leaf.material,
    leaf.part_no,
    leaf.part,
    leaf.job_type,
    leaf.completed_on,
    leaf.kind,
    leaf.cost_how,
    leaf.why_none,
    cast(leaf.cost_pence * 0.01 AS DECIMAL(12, 2)) AS cost_gbp,
    cast(leaf.quoted_pence * 0.01 AS DECIMAL(12, 2)) AS quoted_gbp,
    CASE
        WHEN leaf.why_none IS NULL
            THEN
                cast(
                    (
                        (leaf.numerator - leaf.rest) // leaf.denominator
                        + cast(
                            len(list_filter(leaf.rests, LAMBDA rest: rest > leaf.rest))
                            < leaf.spare_pence AS HUGEINT
                        )
                    ) * 0.01 AS DECIMAL(12, 2)
                )
    END AS part_gbp,
    CASE WHEN leaf.part_no = 2 AND leaf.why_none IS NULL THEN leaf.delivery_gbp END AS delivery_gbp,
    CASE
        WHEN leaf.why_none IS NOT NULL OR leaf.numerator IS NULL OR leaf.part = 'not split'
            THEN leaf.why
    END AS why
FROM leaf
