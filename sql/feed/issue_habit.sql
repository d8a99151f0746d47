-- How the jobs book what they take of a material: whether at all, and whether in whole packs.
--
-- Grain:     one row per material that a job took
-- Reads:     feed.stock_move
-- Units:     is_whole_packs: every issue on record is in whole packs, so that an open pack is
--            booked already and its rest is in no count
-- Left out:  materials that no job books: no row
SELECT
    flow.material,
    bool_and(coalesce(flow.how = 'whole packs', FALSE)) AS is_whole_packs
FROM feed.stock_move AS flow
WHERE flow.flow IN ('issued', 'from rack')
GROUP BY flow.material
