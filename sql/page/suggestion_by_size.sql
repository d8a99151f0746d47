-- What an allowance comes to on roofs of four sizes: as it stands, and as suggested.
--
-- Grain:     one row per material, job_type, size
-- Reads:     page.suggestion, page.allowance
-- Units:     size in m² of roof, or in metres of bare need for what is read per 10 m; quantities
--            in base units: rate x size, and for what is suggested the fixed part of every job too
-- Left out:  suggestions that are not made, and kinds without a rate
WITH
sized AS (
    SELECT unnest([5, 10, 20, 40]) AS size
)

SELECT
    suggestion.material,
    suggestion.job_type,
    suggestion.base_unit,
    sized.size,
    CASE WHEN rated.rate_label LIKE '%per 10 m%' THEN 'm needed' ELSE 'm²' END AS size_label,
    rated.allowed_rate * sized.size
    / CASE WHEN rated.rate_label LIKE '%per 10 m%' THEN 10 ELSE 1 END AS allowed_quantity,
    suggestion.suggested_fixed_loss + suggestion.charge_rate * sized.size
    / CASE WHEN rated.rate_label LIKE '%per 10 m%' THEN 10 ELSE 1 END AS charged_quantity,
    suggestion.suggested_fixed_loss + suggestion.load_rate * sized.size
    / CASE WHEN rated.rate_label LIKE '%per 10 m%' THEN 10 ELSE 1 END AS loaded_quantity
FROM page.suggestion AS suggestion
INNER JOIN page.allowance AS rated
    ON suggestion.material = rated.material AND suggestion.job_type = rated.job_type
CROSS JOIN sized
WHERE suggestion.is_offered AND suggestion.charge_rate IS NOT NULL
ORDER BY suggestion.material, suggestion.job_type, sized.size
