-- Whether the vans that the owner wants compared differ: no ranking, and nothing of a person.
--
-- Grain:     one row per crew, material; a van of which nothing is known has one without material
-- Reads:     setting.compared_van, result.crew_miss, ledger.materials
-- Units:     ratios over base, above 0 more than the mean of the vans; is_apart: what is believed
--            of the van and of another one does not overlap; is_poured: of resin or topcoat
-- Left out:  everything unless the settings ask for it
WITH
said AS (
    SELECT
        van.crew,
        miss.material,
        material.kind,
        miss.job_count,
        miss.shrunken_ratio,
        miss.shrunken_low_ratio,
        miss.shrunken_high_ratio,
        max(miss.shrunken_low_ratio) OVER (PARTITION BY miss.material) AS most_low_ratio,
        min(miss.shrunken_high_ratio) OVER (PARTITION BY miss.material) AS least_high_ratio
    FROM setting.compared_van AS van
    LEFT JOIN result.crew_miss AS miss ON van.crew = miss.crew
    LEFT JOIN ledger.materials AS material ON miss.material = material.material
)

SELECT
    said.crew,
    said.material,
    said.job_count,
    said.shrunken_ratio,
    said.shrunken_low_ratio,
    said.shrunken_high_ratio,
    coalesce(said.kind IN ('resin', 'topcoat'), FALSE) AS is_poured,
    coalesce(
        said.shrunken_high_ratio < said.most_low_ratio
        OR said.shrunken_low_ratio > said.least_high_ratio,
        FALSE
    ) AS is_apart
FROM said
ORDER BY is_poured DESC, said.material ASC NULLS LAST, said.crew ASC
