-- What each lay-up of the firm holds.
--
-- Grain:     one row per lay_up
-- Reads:     setting.lay_up
-- Units:     as their names
-- Left out:  nothing
SELECT
    laminate.lay_up,
    laminate.glass_g_per_m2,
    laminate.glass_ratio,
    laminate.resin_kg_per_m2,
    laminate.thickness_mm
FROM setting.lay_up AS laminate
ORDER BY laminate.lay_up
