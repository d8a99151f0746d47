-- The least of what it is specified to hold that a sound roof of a job's size and lay-up takes.
--
-- Grain:     one row per job_ref, material
-- Reads:     usage.job_material, usage.net_quantity, ledger.jobs, ledger.materials,
--            result.cut_job, setting.lay_up
-- Units:     base units. Resin: what the laminate holds; with the laps of the mats and the bandage
--            where that is more, less 2 in 100 for measuring. Mat: its layers and the laps of the
--            best plan, less 2 in 100. Topcoat: 80 in 100 of a coverage that has no loss inside.
--            Bandage, adhesive, fixings: 80 in 100 of the need, less a pack that the job before
--            may have opened
-- Left out:  materials of which the lay-up, the area, a net coverage or the need is not known; laps
--            of a mat without a plan; what the deck drinks, which no roof holds for certain
WITH
lap AS (
    SELECT
        laid.job_ref,
        laid.material,
        laid.lap_quantity,
        laid.lap_quantity * item.g_per_m2 / 1000 AS glass_kg
    FROM result.cut_job AS laid
    INNER JOIN ledger.materials AS item ON laid.material = item.material
    WHERE laid.kind = 'mat' AND laid.stage = 'fitted' AND laid.plan = 'best'
),

bound AS (
    SELECT
        net.job_ref,
        coalesce(net.fitted_net_quantity, net.quoted_net_quantity)
        * item.width_mm
        / 1000
        * item.g_per_m2
        / 1000 AS glass_kg
    FROM usage.net_quantity AS net
    INNER JOIN ledger.materials AS item ON net.material = item.material
    WHERE net.kind = 'bandage'
),

more_glass AS (
    SELECT
        held.job_ref,
        sum(held.glass_kg) AS glass_kg
    FROM (
        SELECT
            lap.job_ref,
            lap.glass_kg
        FROM lap
        UNION ALL
        SELECT
            bound.job_ref,
            bound.glass_kg
        FROM bound
    ) AS held
    GROUP BY held.job_ref
),

lowest AS (
    SELECT
        named.job_ref,
        named.material,
        named.kind,
        CASE
            WHEN named.kind = 'resin'
                THEN
                    greatest(
                        laminate.resin_kg_per_m2 * job.area_m2,
                        0.98
                        * (
                            laminate.resin_kg_per_m2 * job.area_m2
                            + coalesce(
                                more_glass.glass_kg
                                * (1 - laminate.glass_ratio)
                                / laminate.glass_ratio,
                                0
                            )
                        )
                    )
            WHEN named.kind = 'mat'
                THEN 0.98 * (named.layer_count * job.area_m2 + coalesce(lap.lap_quantity, 0))
            WHEN named.kind = 'topcoat' AND item.coverage_basis = 'net'
                THEN 0.8 * item.coverage_per_m2 * job.area_m2
            WHEN named.kind IN ('bandage', 'adhesive', 'fixing')
                THEN 0.8 * net.fitted_net_quantity - item.pack_size
        END AS quantity
    FROM usage.job_material AS named
    INNER JOIN ledger.jobs AS job ON named.job_ref = job.job_ref
    INNER JOIN ledger.materials AS item ON named.material = item.material
    INNER JOIN usage.net_quantity AS net
        ON named.job_ref = net.job_ref AND named.material = net.material
    LEFT JOIN setting.lay_up AS laminate ON job.lay_up = laminate.lay_up
    LEFT JOIN more_glass ON named.job_ref = more_glass.job_ref
    LEFT JOIN lap ON named.job_ref = lap.job_ref AND named.material = lap.material
)

SELECT
    lowest.job_ref,
    lowest.material,
    lowest.kind,
    cast(lowest.quantity AS DECIMAL(18, 3)) AS least_quantity
FROM lowest
WHERE lowest.quantity > 0
