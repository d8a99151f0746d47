-- What stands out in the papers alone, most money first.
--
-- Grain:     one row per finding
-- Reads:     comparison.price_asked, comparison.line_not_multiplying, comparison.edge_just_over,
--            comparison.statement_line, page.bought_beside_allowed, page.lot_near_date
-- Units:     gbp: above 0 costs the firm, below 0 is in its favour; per: what the pounds are of;
--            found_at: the paper or the place where it stands
-- Left out:  as the relations that it reads
WITH
asked AS (
    SELECT
        price.material,
        price.supplier,
        price.document_no,
        price.bought_on,
        price.compared_with,
        price.invoice_count,
        price.change_ratio,
        price.month_gbp,
        CASE price.base_unit WHEN 'ml' THEN 1000 ELSE 1 END * price.known_price_gbp
            AS known_price_gbp,
        CASE price.base_unit WHEN 'ml' THEN 1000 ELSE 1 END * price.asked_price_gbp
            AS asked_price_gbp,
        CASE price.base_unit
            WHEN 'ml' THEN ' a litre'
            WHEN 'm2' THEN ' a m²'
            WHEN 'each' THEN ' each'
            ELSE ' a ' || price.base_unit
        END AS unit_words,
        CASE
            WHEN price.base_unit = 'each' AND price.known_price_gbp < 0.1 THEN '£%.4f'
            ELSE '£%.2f'
        END AS price_form
    FROM comparison.price_asked AS price
),

found AS (
    SELECT
        'price' AS finding,
        CASE asked.compared_with
            WHEN 'list' THEN asked.material || ': the list that your quotes are made with says '
            ELSE asked.material || ': the invoice before the newest asked '
        END
        || printf(asked.price_form, cast(asked.known_price_gbp AS DOUBLE)) || asked.unit_words
        || CASE
            WHEN asked.compared_with != 'list' THEN ', the newest asks '
            WHEN asked.invoice_count = 1 THEN ', the last invoice asks '
            ELSE ', the last ' || cast(asked.invoice_count AS VARCHAR) || ' invoices ask '
        END
        || printf(asked.price_form, cast(asked.asked_price_gbp AS DOUBLE)) || ': '
        || printf('%.1f', abs(100 * asked.change_ratio)) || ' % '
        || CASE WHEN asked.change_ratio > 0 THEN 'more than ' ELSE 'less than ' END
        || CASE asked.compared_with WHEN 'list' THEN 'the list.' ELSE 'before.' END AS sentence,
        asked.month_gbp AS gbp,
        'a month, at what you buy' AS per,
        asked.supplier || ', ' || asked.document_no || ' of '
        || strftime(asked.bought_on, '%-d %B %Y') AS found_at
    FROM asked
    UNION ALL
    SELECT
        'invoice line' AS finding,
        line.supplier || ' ' || line.document_no || ', ' || line.description || ': '
        || printf('%g', cast(line.packs AS DOUBLE)) || ' at '
        || printf('£%.2f', cast(line.pack_price_gbp AS DOUBLE)) || ' are '
        || printf('£%.2f', cast(line.multiplied_gbp AS DOUBLE)) || ', the line says '
        || printf('£%.2f', cast(line.line_net_gbp AS DOUBLE)) || '. Ask the supplier.'
            AS sentence,
        line.beyond_gbp AS gbp,
        'once' AS per,
        line.file_name
        || CASE WHEN line.sheet = '' THEN '' ELSE ', sheet ' || line.sheet END
        || ', row ' || cast(line.row_no AS VARCHAR) AS found_at
    FROM comparison.line_not_multiplying AS line
    UNION ALL
    SELECT
        'bought beside allowed' AS finding,
        bought.material || ': you allow ' || printf('%.2f', cast(bought.allowed_rate AS DOUBLE))
        || ' ' || bought.rate_label || ', and over '
        || cast(bought.month_count AS VARCHAR) || ' months you bought '
        || printf('%.2f', cast(bought.rate AS DOUBLE)) || ', between '
        || printf('%.2f', cast(bought.low_rate AS DOUBLE)) || ' and '
        || printf('%.2f', cast(bought.high_rate AS DOUBLE))
        || ' with the stock at both ends not known.'
        || CASE
            WHEN bought.rate < bought.allowed_rate
                THEN ' An invoice may be missing; less than the laminate needs is no saving.'
            ELSE ''
        END AS sentence,
        bought.month_gbp AS gbp,
        'a month' AS per,
        'invoices and finished jobs' AS found_at
    FROM page.bought_beside_allowed AS bought
    UNION ALL
    SELECT
        'edge' AS finding,
        'Edge ' || cast(edge.edge_no AS VARCHAR) || ' of ' || edge.job_ref || ' runs '
        || cast(edge.quoted_run_mm AS VARCHAR) || ' mm: its last '
        || cast(edge.over_mm AS VARCHAR) || ' mm open another length of ' || edge.material
        || ' beyond ' || cast(edge.lengths_count AS VARCHAR)
        || ' whole ones. Measure again, and look for a leftover that serves; '
        || 'a join is never shortened.'
            AS sentence,
        edge.length_gbp AS gbp,
        'one length' AS per,
        edge.job_ref || ', ' || edge.status AS found_at
    FROM comparison.edge_just_over AS edge
    UNION ALL
    SELECT
        'date' AS finding,
        printf('%g', cast(lot.quantity AS DOUBLE)) || ' ' || lot.base_unit || ' of '
        || lot.material || coalesce(', lot ' || lot.lot, '')
        || CASE
            WHEN lot.days_left < 0
                THEN
                    ': past its date of ' || strftime(lot.expires_on, '%-d %B %Y')
                    || ', so no usable stock: ask the maker, or dispose of it as the label says.'
            ELSE
                ': dated ' || strftime(lot.expires_on, '%-d %B %Y') || ', '
                || cast(lot.days_left AS VARCHAR) || ' days off: use it first.'
        END AS sentence,
        lot.value_gbp AS gbp,
        'its price' AS per,
        lot.places AS found_at
    FROM page.lot_near_date AS lot
    UNION ALL
    SELECT
        'statement' AS finding,
        upper(owed.document_type[1]) || owed.document_type[2:] || ' ' || owed.document_no || ' of '
        || owed.supplier || ', ' || strftime(owed.document_on, '%-d %B %Y')
        || CASE owed.standing
            WHEN 'missing'
                THEN ', stands on the statement of account and is not here: ask for a copy.'
            ELSE
                ', is ' || printf('£%.2f', cast(owed.gross_gbp AS DOUBLE))
                || ' on the statement of account and '
                || printf('£%.2f', cast(owed.held_gross_gbp AS DOUBLE)) || ' as handed in.'
        END AS sentence,
        owed.gross_gbp - coalesce(owed.held_gross_gbp, 0) AS gbp,
        'once, with VAT' AS per,
        owed.file_name
        || CASE WHEN owed.sheet = '' THEN '' ELSE ', sheet ' || owed.sheet END
        || ', row ' || cast(owed.row_no AS VARCHAR) AS found_at
    FROM comparison.statement_line AS owed
    WHERE owed.standing IN ('missing', 'differs')
)

SELECT
    found.finding,
    found.sentence,
    found.gbp,
    found.per,
    found.found_at,
    row_number() OVER (
        ORDER BY found.gbp DESC NULLS LAST, found.finding ASC, found.sentence ASC
    ) AS order_no
FROM found
ORDER BY order_no
