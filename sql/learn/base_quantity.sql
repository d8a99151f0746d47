-- What an allowance is added to: the bare need with all that is specified on top of it.
--
-- Grain:     one row per job_ref, material, stage
-- Reads:     usage.net_quantity, usage.job_material, ledger.jobs, ledger.materials,
--            result.cut_job, setting.lay_up, setting.lay_up_mat, setting.soak
-- Units:     base units. best, no_reuse: what the plans of what is cut use up, else the base.
--            Trim, batten, board: what the best plan uses up. Resin: laminate, laps of
--            the mats, bandage and what the deck drinks; bandage and area of a roof as fitted are
--            as quoted where nobody measured again. Else the bare need
-- Left out:  a trim without a plan, a resin beside another one on the job: their base is blank;
--            laps of a mat whose lap or width is not given, bandage without its width or weight
WITH
need AS (
    SELECT
        net.job_ref,
        net.material,
        net.kind,
        net.base_unit,
        'quoted' AS stage,
        net.quoted_net_quantity AS net_quantity
    FROM usage.net_quantity AS net
    UNION ALL
    SELECT
        net.job_ref,
        net.material,
        net.kind,
        net.base_unit,
        'fitted' AS stage,
        net.fitted_net_quantity AS net_quantity
    FROM usage.net_quantity AS net
),

glass AS (
    SELECT
        laid.lay_up,
        sum(laid.mat_g_per_m2 * laid.layer_count) AS g_per_m2
    FROM setting.lay_up_mat AS laid
    GROUP BY laid.lay_up
),

lap AS (
    SELECT
        named.job_ref,
        sum(
            item.g_per_m2 * named.layer_count * item.lap_mm / (item.width_mm - item.lap_mm)
        ) AS lapped_g_per_m2
    FROM usage.job_material AS named
    INNER JOIN ledger.materials AS item ON named.material = item.material
    WHERE named.kind = 'mat' AND named.is_alone AND item.width_mm > item.lap_mm
    GROUP BY named.job_ref
),

bandage AS (
    SELECT
        net.job_ref,
        sum(net.quoted_net_quantity * item.width_mm / 1000 * item.g_per_m2 / 1000)
            AS quoted_glass_kg,
        sum(
            coalesce(net.fitted_net_quantity, net.quoted_net_quantity)
            * item.width_mm / 1000
            * item.g_per_m2 / 1000
        ) AS fitted_glass_kg
    FROM usage.net_quantity AS net
    INNER JOIN ledger.materials AS item ON net.material = item.material
    WHERE net.kind = 'bandage'
    GROUP BY net.job_ref
),

resin AS (
    SELECT
        need.job_ref,
        need.material,
        need.stage,
        need.net_quantity * (1 + coalesce(lap.lapped_g_per_m2 / glass.g_per_m2, 0))
        + coalesce(
            CASE need.stage
                WHEN 'quoted' THEN bandage.quoted_glass_kg
                ELSE bandage.fitted_glass_kg
            END * (1 - laminate.glass_ratio) / laminate.glass_ratio,
            0
        )
        + CASE
            WHEN soak.soak_kg_per_m2 IS NULL THEN 0
            WHEN need.stage = 'quoted' THEN soak.soak_kg_per_m2 * job.quoted_area_m2
            ELSE soak.soak_kg_per_m2 * job.area_m2
        END AS quantity
    FROM need
    INNER JOIN usage.job_material AS named
        ON need.job_ref = named.job_ref AND need.material = named.material AND named.is_alone
    INNER JOIN ledger.jobs AS job ON need.job_ref = job.job_ref
    LEFT JOIN setting.lay_up AS laminate ON job.lay_up = laminate.lay_up
    LEFT JOIN glass ON job.lay_up = glass.lay_up
    LEFT JOIN lap ON need.job_ref = lap.job_ref
    LEFT JOIN bandage ON need.job_ref = bandage.job_ref
    LEFT JOIN setting.soak AS soak ON job.work = soak.work
    WHERE need.kind = 'resin'
),

based AS (
    SELECT
        need.job_ref,
        need.material,
        need.stage,
        need.kind,
        need.base_unit,
        need.net_quantity,
        best.used_up_quantity AS best_quantity,
        alone.used_up_quantity AS no_reuse_quantity,
        cast(
            CASE need.kind
                WHEN 'trim' THEN best.used_up_quantity
                WHEN 'batten' THEN best.used_up_quantity
                WHEN 'board' THEN best.used_up_quantity
                WHEN 'resin' THEN resin.quantity
                ELSE need.net_quantity
            END AS DECIMAL(18, 3)
        ) AS base_quantity
    FROM need
    LEFT JOIN result.cut_job AS best
        ON
            need.job_ref = best.job_ref
            AND need.material = best.material
            AND need.stage = best.stage
            AND best.plan = 'best'
    LEFT JOIN result.cut_job AS alone
        ON
            need.job_ref = alone.job_ref
            AND need.material = alone.material
            AND need.stage = alone.stage
            AND alone.plan = 'no re-use'
    LEFT JOIN resin
        ON
            need.job_ref = resin.job_ref
            AND need.material = resin.material
            AND need.stage = resin.stage
)

SELECT
    based.job_ref,
    based.material,
    based.stage,
    based.kind,
    based.base_unit,
    based.net_quantity,
    based.base_quantity,
    CASE
        WHEN based.kind IN ('trim', 'batten', 'board', 'mat') THEN based.best_quantity
        ELSE based.base_quantity
    END AS best_quantity,
    CASE
        WHEN based.kind IN ('trim', 'batten', 'board', 'mat') THEN based.no_reuse_quantity
        ELSE based.base_quantity
    END AS no_reuse_quantity
FROM based
