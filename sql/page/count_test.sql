-- Differences of the last year that counting alone hardly makes: how much, and what it is like.
--
-- Grain:     one row per material, to_on
-- Reads:     result.count_test, stock.supplier_asked, ledger.materials, usage.calendar
-- Units:     base units, above 0 where there is less than the papers say; pack_count without its
--            sign, to a thousandth, packs of the firm's own size, else as last bought; GBP at the
--            price in force; is_lately: counted in the last three months or since
-- Left out:  what is within counting error or worth less than the floor of the settings
SELECT
    test.material,
    item.kind,
    test.base_unit,
    test.from_on,
    test.to_on,
    test.difference_quantity,
    test.difference_gbp,
    test.signature,
    test.because,
    cast(abs(test.difference_quantity) / asked.pack_size AS DECIMAL(18, 3)) AS pack_count,
    test.to_on >= calendar.lately_from_on AS is_lately
FROM result.count_test AS test
INNER JOIN usage.calendar AS calendar ON test.to_on >= calendar.year_from_on
INNER JOIN ledger.materials AS item ON test.material = item.material
LEFT JOIN stock.supplier_asked AS asked ON test.material = asked.material
WHERE test.is_beyond
ORDER BY test.to_on DESC, abs(test.difference_gbp) DESC NULLS LAST, test.material ASC
