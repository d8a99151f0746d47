-- Which prices in the quotes are old: the list beside the last three invoices, most money first.
--
-- Grain:     one row per material
-- Reads:     comparison.price_in_quotes
-- Units:     GBP per base unit; pack_label is the pack that the price is of
-- Left out:  as comparison.price_in_quotes
SELECT
    quoted.material,
    quoted.base_unit,
    quoted.list_price_gbp,
    quoted.list_from_on,
    quoted.invoice_price_1_gbp,
    quoted.invoice_on_1,
    quoted.invoice_price_2_gbp,
    quoted.invoice_price_3_gbp,
    quoted.supplier,
    quoted.change_ratio,
    quoted.lately_bought_gbp,
    quoted.lately_gap_gbp,
    regexp_replace(cast(quoted.pack_size AS VARCHAR), '\.?0+$', '')
    || ' '
    || replace(quoted.base_unit, 'm2', 'm²') AS pack_label
FROM comparison.price_in_quotes AS quoted
ORDER BY abs(quoted.lately_gap_gbp) DESC NULLS LAST, quoted.material ASC
