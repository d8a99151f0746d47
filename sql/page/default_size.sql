-- Materials that are cut by sizes which no record gave: default, not the firm's own.
--
-- Grain:     one row per material
-- Reads:     usage.default_size, result.cut_job
-- Units:     sizes in words
-- Left out:  materials without a plan; densities, by which nothing is cut
SELECT
    size.material,
    string_agg(size.said, ', ' ORDER BY size.said) AS sizes
FROM usage.default_size AS size
SEMI JOIN result.cut_job AS planned ON size.material = planned.material
WHERE size.column_name != 'density_kg_per_l'
GROUP BY size.material
ORDER BY size.material
