-- Which materials a job is about: named by its card or its edges, or plain from its lay-up and the
-- firm's own rules.
--
-- Grain:     one row per job_ref, material
-- Reads:     ledger.jobs, ledger.materials, ledger.job_materials, usage.trim_need,
--            setting.lay_up_mat, setting.need, setting.allow
-- Units:     layer_count: layers of that mat in the job's lay-up, else null; is_alone: the job has
--            no other material of the kind, so that a need of the kind is a need of this material
-- Left out:  resin, topcoat, board or mat of which the firm has several and the job names none;
--            a kind of which only a need, or an allowance by size, in the settings could tell,
--            without either: a coverage rate says how much, not on which roofs (primer goes on
--            some decks only), and so does an allowance as a share of the need
WITH
layer AS (
    SELECT
        job.job_ref,
        item.material,
        laid.mat_g_per_m2,
        laid.layer_count,
        count(*) OVER (PARTITION BY job.job_ref, laid.mat_g_per_m2) AS choice_count
    FROM ledger.jobs AS job
    INNER JOIN setting.lay_up_mat AS laid ON job.lay_up = laid.lay_up
    INNER JOIN ledger.materials AS item
        ON item.kind = 'mat' AND laid.mat_g_per_m2 = item.g_per_m2
),

named AS (
    SELECT
        card.job_ref,
        card.material
    FROM ledger.job_materials AS card
    UNION
    SELECT
        need.job_ref,
        need.material
    FROM usage.trim_need AS need
),

named_kind AS (
    SELECT
        named.job_ref,
        item.kind,
        item.g_per_m2,
        count(*) AS named_count
    FROM named
    INNER JOIN ledger.materials AS item ON named.material = item.material
    GROUP BY named.job_ref, item.kind, item.g_per_m2
),

sole AS (
    SELECT
        item.kind,
        any_value(item.material) AS material
    FROM ledger.materials AS item
    WHERE item.kind IN ('resin', 'topcoat', 'board')
    GROUP BY item.kind
    HAVING count(*) = 1
),

supposed AS (
    SELECT
        job.job_ref,
        sole.material
    FROM ledger.jobs AS job
    INNER JOIN sole ON sole.kind != 'board' OR job.work IN ('new deck', 'strip')
    LEFT JOIN named_kind ON job.job_ref = named_kind.job_ref AND sole.kind = named_kind.kind
    WHERE named_kind.job_ref IS NULL
    UNION
    SELECT
        layer.job_ref,
        layer.material
    FROM layer
    LEFT JOIN named_kind
        ON
            layer.job_ref = named_kind.job_ref
            AND named_kind.kind = 'mat'
            AND layer.mat_g_per_m2 = named_kind.g_per_m2
    WHERE layer.choice_count = 1 AND named_kind.job_ref IS NULL
    UNION
    SELECT
        job.job_ref,
        item.material
    FROM ledger.jobs AS job
    INNER JOIN ledger.materials AS item
        ON item.kind NOT IN ('resin', 'topcoat', 'board', 'mat', 'trim', 'corner piece')
    WHERE
        item.material IN (SELECT ruled.material FROM setting.need AS ruled)
        OR item.material IN (
            SELECT ruled.material FROM setting.allow AS ruled
            WHERE coalesce(ruled.per_m2, ruled.per_m, ruled.per_job) IS NOT NULL
        )
),

pair AS (
    SELECT
        named.job_ref,
        named.material
    FROM named
    UNION
    SELECT
        supposed.job_ref,
        supposed.material
    FROM supposed
)

SELECT
    pair.job_ref,
    pair.material,
    item.kind,
    item.base_unit,
    layer.layer_count,
    count(*) OVER (PARTITION BY pair.job_ref, item.kind, layer.mat_g_per_m2) = 1 AS is_alone
FROM pair
INNER JOIN ledger.materials AS item ON pair.material = item.material
LEFT JOIN layer ON pair.job_ref = layer.job_ref AND pair.material = layer.material
