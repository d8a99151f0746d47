-- What was bought of the six materials of most money, month by month, and at what price.
--
-- Grain:     one row per material, month_on
-- Reads:     stock.bought_line, ledger.materials, usage.calendar
-- Units:     packs, base units; GBP per base unit: sum of line nets over sum of quantities
-- Left out:  credits; months before the last 24; other materials
WITH
line AS (
    SELECT
        bought.material,
        bought.packs,
        bought.quantity,
        bought.line_net_gbp,
        cast(date_trunc('month', bought.bought_on) AS DATE) AS month_on
    FROM stock.bought_line AS bought
    INNER JOIN usage.calendar AS calendar
        ON bought.bought_on BETWEEN calendar.two_years_from_on AND calendar.month_end_on
),

largest AS (
    SELECT
        line.material,
        sum(line.line_net_gbp) AS spent_gbp
    FROM line
    GROUP BY line.material
    ORDER BY spent_gbp DESC, line.material ASC
    LIMIT 6
)

SELECT
    line.material,
    item.base_unit,
    line.month_on,
    cast(sum(line.packs) AS DECIMAL(18, 3)) AS packs,
    cast(sum(line.quantity) AS DECIMAL(18, 3)) AS quantity,
    cast(sum(line.line_net_gbp) / sum(line.quantity) AS DECIMAL(14, 4)) AS price_gbp
FROM line
INNER JOIN largest ON line.material = largest.material
INNER JOIN ledger.materials AS item ON line.material = item.material
GROUP BY line.material, item.base_unit, line.month_on, largest.spent_gbp
ORDER BY line.month_on ASC, largest.spent_gbp DESC, line.material ASC
