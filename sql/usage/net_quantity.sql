-- What the roof needs of each material with no waste: as quoted and as fitted.
--
-- Grain:     one row per job_ref, material
-- Reads:     usage.job_material, usage.job_quantity, usage.trim_need, usage.trimmed_edge,
--            ledger.jobs, ledger.materials, setting.lay_up, setting.need
-- Units:     base units; how says whether the figure was typed or derived from area, lay-up and
--            edges. The fitted area is the measured one, else the quoted one; where nothing else
--            tells the need of a roof that was as drawn, it is what the quote typed
-- Left out:  a need that is neither typed nor can be derived stays blank: no area, several
--            materials of the kind on one job, a coverage rate that has losses inside it
WITH
pair AS (
    SELECT
        named.job_ref,
        named.material,
        named.kind,
        named.base_unit,
        named.is_alone,
        named.layer_count,
        job.quoted_area_m2,
        job.area_m2,
        job.work,
        job.as_drawn,
        edge.quoted_trimmed_m,
        edge.fitted_trimmed_m,
        need.quoted_net_quantity AS quoted_edge_quantity,
        need.fitted_net_quantity AS fitted_edge_quantity,
        card.quoted_net_quantity AS quoted_typed_quantity,
        card.fitted_net_quantity AS fitted_typed_quantity,
        ruled.per_m2,
        ruled.per_m,
        ruled.per_kg,
        CASE
            WHEN NOT named.is_alone THEN NULL
            WHEN named.kind = 'resin' THEN laminate.resin_kg_per_m2
            WHEN named.kind = 'mat' THEN named.layer_count
            WHEN named.kind = 'board' AND job.work IN ('new deck', 'strip') THEN 1
            WHEN item.coverage_basis = 'net' THEN item.coverage_per_m2
        END AS rate_per_m2
    FROM usage.job_material AS named
    INNER JOIN ledger.jobs AS job ON named.job_ref = job.job_ref
    INNER JOIN ledger.materials AS item ON named.material = item.material
    LEFT JOIN usage.job_quantity AS card
        ON named.job_ref = card.job_ref AND named.material = card.material
    LEFT JOIN usage.trim_need AS need
        ON named.job_ref = need.job_ref AND named.material = need.material
    LEFT JOIN usage.trimmed_edge AS edge ON named.job_ref = edge.job_ref
    LEFT JOIN setting.lay_up AS laminate ON job.lay_up = laminate.lay_up
    LEFT JOIN setting.need AS ruled ON named.material = ruled.material
),

plain AS (
    SELECT
        pair.job_ref,
        pair.material,
        coalesce(
            pair.quoted_typed_quantity,
            pair.quoted_edge_quantity,
            pair.rate_per_m2 * pair.quoted_area_m2
        ) AS quoted_quantity,
        coalesce(
            pair.fitted_typed_quantity,
            pair.fitted_edge_quantity,
            pair.rate_per_m2 * pair.area_m2
        ) AS fitted_quantity,
        CASE WHEN pair.per_m2 IS NULL THEN 0 ELSE pair.per_m2 * pair.quoted_area_m2 END
        + CASE WHEN pair.per_m IS NULL THEN 0 ELSE pair.per_m * pair.quoted_trimmed_m END
            AS quoted_ruled_quantity,
        CASE WHEN pair.per_m2 IS NULL THEN 0 ELSE pair.per_m2 * pair.area_m2 END
        + CASE WHEN pair.per_m IS NULL THEN 0 ELSE pair.per_m * pair.fitted_trimmed_m END
            AS fitted_ruled_quantity,
        coalesce(pair.per_m2, pair.per_m, pair.per_kg) IS NOT NULL AS is_ruled
    FROM pair
),

wet AS (
    SELECT
        pair.job_ref,
        sum(plain.quoted_quantity) AS quoted_kg,
        sum(plain.fitted_quantity) AS fitted_kg,
        count(DISTINCT pair.kind) FILTER (WHERE plain.quoted_quantity IS NOT NULL)
            AS quoted_kind_count,
        count(DISTINCT pair.kind) FILTER (WHERE plain.fitted_quantity IS NOT NULL)
            AS fitted_kind_count
    FROM pair
    INNER JOIN plain ON pair.job_ref = plain.job_ref AND pair.material = plain.material
    WHERE pair.kind IN ('resin', 'topcoat')
    GROUP BY pair.job_ref
),

poured_kind AS (
    SELECT count(DISTINCT item.kind) AS kind_count
    FROM ledger.materials AS item
    WHERE item.kind IN ('resin', 'topcoat')
),

need AS (
    SELECT
        pair.job_ref,
        pair.material,
        pair.kind,
        pair.base_unit,
        pair.quoted_typed_quantity,
        pair.fitted_typed_quantity,
        coalesce(
            plain.quoted_quantity,
            CASE
                WHEN NOT plain.is_ruled THEN NULL
                WHEN pair.per_kg IS NULL THEN plain.quoted_ruled_quantity
                WHEN wet.quoted_kind_count = poured_kind.kind_count
                    THEN plain.quoted_ruled_quantity + pair.per_kg * wet.quoted_kg
            END
        ) AS quoted_quantity,
        coalesce(
            plain.fitted_quantity,
            CASE
                WHEN NOT plain.is_ruled THEN NULL
                WHEN pair.per_kg IS NULL THEN plain.fitted_ruled_quantity
                WHEN wet.fitted_kind_count = poured_kind.kind_count
                    THEN plain.fitted_ruled_quantity + pair.per_kg * wet.fitted_kg
            END,
            CASE WHEN pair.as_drawn = 'yes' THEN pair.quoted_typed_quantity END
        ) AS fitted_quantity
    FROM pair
    INNER JOIN plain ON pair.job_ref = plain.job_ref AND pair.material = plain.material
    CROSS JOIN poured_kind
    LEFT JOIN wet ON pair.job_ref = wet.job_ref
)

SELECT
    need.job_ref,
    need.material,
    need.kind,
    need.base_unit,
    cast(need.quoted_quantity AS DECIMAL(18, 3)) AS quoted_net_quantity,
    cast(need.fitted_quantity AS DECIMAL(18, 3)) AS fitted_net_quantity,
    CASE
        WHEN need.quoted_typed_quantity IS NOT NULL THEN 'typed'
        WHEN need.quoted_quantity IS NOT NULL THEN 'derived'
    END AS quoted_how,
    CASE
        WHEN need.fitted_typed_quantity IS NOT NULL THEN 'typed'
        WHEN need.fitted_quantity IS NOT NULL THEN 'derived'
    END AS fitted_how
FROM need
