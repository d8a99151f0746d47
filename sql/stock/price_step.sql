-- The price of a material through time: from which day on which price is in force.
--
-- Grain:     one row per material, from_on
-- Reads:     ledger.prices, stock.supplier_asked, stock.bought_line
-- Units:     price_gbp per base unit: one pack of the list of the supplier asked; before any list
--            the last price paid; before any payment the first one after, which `how` says.
--            To twelve places, so that a whole pack comes to its own price again. A step holds
--            from from_on to the day before until_on
-- Left out:  prices of larger quantities, lists of other suppliers, other packs where the usual
--            pack is listed
WITH
listed AS (
    SELECT
        price.material,
        price.pack_size,
        price.min_packs,
        cast(price.pack_price_gbp / price.pack_size AS DECIMAL(20, 12)) AS price_gbp,
        coalesce(price.valid_from, DATE '1990-01-01') AS from_on,
        first_value(price.pack_size) OVER (
            PARTITION BY price.material
            ORDER BY (price.pack_size = asked.pack_size) DESC NULLS LAST, price.pack_size ASC
        ) AS pack_size_taken
    FROM ledger.prices AS price
    INNER JOIN stock.supplier_asked AS asked
        ON price.material = asked.material AND price.supplier = asked.supplier
),

list_step AS (
    SELECT
        listed.material,
        listed.from_on,
        listed.price_gbp,
        listed.pack_size,
        'list' AS how
    FROM listed
    WHERE listed.pack_size = listed.pack_size_taken
    QUALIFY
        row_number() OVER (
            PARTITION BY listed.material, listed.from_on
            ORDER BY listed.min_packs ASC NULLS FIRST, listed.price_gbp ASC
        ) = 1
),

first_list AS (
    SELECT
        list_step.material,
        min(list_step.from_on) AS from_on
    FROM list_step
    GROUP BY list_step.material
),

paid AS (
    SELECT
        line.material,
        line.bought_on AS from_on,
        cast(sum(line.line_net_gbp) / sum(line.quantity) AS DECIMAL(20, 12)) AS price_gbp,
        max(line.pack_size) AS pack_size
    FROM stock.bought_line AS line
    GROUP BY line.material, line.bought_on
),

first_paid AS (
    SELECT
        paid.material,
        paid.price_gbp,
        paid.pack_size,
        'first paid after' AS how,
        DATE '1900-01-01' AS from_on
    FROM paid
    QUALIFY row_number() OVER (PARTITION BY paid.material ORDER BY paid.from_on ASC) = 1
),

step AS (
    SELECT
        list_step.material,
        list_step.from_on,
        list_step.price_gbp,
        list_step.pack_size,
        list_step.how
    FROM list_step
    UNION ALL
    SELECT
        paid.material,
        paid.from_on,
        paid.price_gbp,
        paid.pack_size,
        'last paid' AS how
    FROM paid
    LEFT JOIN first_list ON paid.material = first_list.material
    WHERE paid.from_on < coalesce(first_list.from_on, DATE '9999-12-31')
    UNION ALL
    SELECT
        first_paid.material,
        first_paid.from_on,
        first_paid.price_gbp,
        first_paid.pack_size,
        first_paid.how
    FROM first_paid
)

SELECT
    step.material,
    step.from_on,
    step.price_gbp,
    step.pack_size,
    step.how,
    lead(step.from_on, 1, DATE '9999-12-31') OVER (
        PARTITION BY step.material ORDER BY step.from_on
    ) AS until_on
FROM step
