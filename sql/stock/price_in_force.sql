-- The price of each material on the day that the run stands for.
--
-- Grain:     one row per material
-- Reads:     stock.price_step, stock.supplier_asked, ledger.materials, usage.calendar
-- Units:     price_gbp per base unit; pack_size in base units; how: list, last paid
-- Left out:  materials of which no price is known
SELECT
    step.material,
    item.base_unit,
    asked.supplier,
    step.pack_size,
    step.price_gbp,
    step.from_on,
    step.how
FROM stock.price_step AS step
INNER JOIN usage.calendar AS calendar
    ON step.from_on <= calendar.as_of AND step.until_on > calendar.as_of
INNER JOIN ledger.materials AS item ON step.material = item.material
LEFT JOIN stock.supplier_asked AS asked ON step.material = asked.material
