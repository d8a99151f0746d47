-- Documents that suppliers' statements of account name, beside those that were handed in.
--
-- Grain:     one row per supplier, document_type, document_no of statements in force
-- Reads:     ledger.statements, ledger.purchases, receipt.file
-- Units:     GBP with VAT, negative on a credit; held_gross: of the document as handed in, NULL
--            where a line of it names no VAT rate
-- Left out:  nothing. A document stands for a statement's line where supplier, type and number
--            agree, bar letters' case, marks and leading zeros, and its date lies within 31 days;
--            a penny a line may part the two totals, since each rounds VAT its own way
WITH
stated AS (
    SELECT
        line.supplier,
        line.document_no,
        line.document_on,
        line.gross_gbp,
        line.receipt_no,
        line.sheet,
        line.row_no,
        CASE
            WHEN coalesce(line.document_type, '') = 'credit' OR line.gross_gbp < 0 THEN 'credit'
            ELSE 'invoice'
        END AS document_type,
        ltrim(regexp_replace(upper(line.document_no), '[^0-9A-Z]', '', 'g'), '0') AS bare_no
    FROM ledger.statements AS line
),

newest AS (
    SELECT
        stated.supplier,
        stated.document_no,
        stated.document_type,
        stated.document_on,
        stated.bare_no,
        stated.receipt_no,
        stated.sheet,
        stated.row_no,
        CASE stated.document_type WHEN 'credit' THEN -1 ELSE 1 END * abs(stated.gross_gbp)
            AS gross_gbp
    FROM stated
    QUALIFY row_number() OVER (
        PARTITION BY stated.supplier, stated.document_type, stated.bare_no
        ORDER BY stated.receipt_no DESC, stated.row_no DESC
    ) = 1
),

by_rate AS (
    SELECT
        line.supplier,
        line.document_type,
        line.document_no,
        line.year,
        min(line.document_on) AS document_on,
        count(*) AS line_count,
        CASE
            WHEN count(*) = count(line.vat_pct)
                THEN sum(line.line_net_gbp) + round(sum(line.line_net_gbp * line.vat_pct) / 100, 2)
        END AS gross_gbp
    FROM ledger.purchases AS line
    GROUP BY line.supplier, line.document_type, line.document_no, line.year, line.vat_pct
),

held AS (
    SELECT
        part.supplier,
        part.document_type,
        ltrim(regexp_replace(upper(part.document_no), '[^0-9A-Z]', '', 'g'), '0') AS bare_no,
        min(part.document_on) AS document_on,
        sum(part.line_count) AS line_count,
        CASE WHEN count(*) = count(part.gross_gbp) THEN sum(part.gross_gbp) END AS gross_gbp
    FROM by_rate AS part
    GROUP BY part.supplier, part.document_type, part.document_no, part.year
)

SELECT
    newest.supplier,
    newest.document_type,
    newest.document_no,
    newest.document_on,
    received.file_name,
    newest.sheet,
    newest.row_no,
    cast(newest.gross_gbp AS DECIMAL(12, 2)) AS gross_gbp,
    cast(held.gross_gbp AS DECIMAL(12, 2)) AS held_gross_gbp,
    CASE
        WHEN held.bare_no IS NULL THEN 'missing'
        WHEN abs(held.gross_gbp - newest.gross_gbp) > 0.01 * held.line_count THEN 'differs'
        WHEN held.gross_gbp IS NULL THEN 'held, its VAT not known'
        ELSE 'agrees'
    END AS standing
FROM newest
INNER JOIN receipt.file AS received ON newest.receipt_no = received.receipt_no
LEFT JOIN held
    ON
        newest.supplier = held.supplier
        AND newest.document_type = held.document_type
        AND newest.bare_no = held.bare_no
        AND abs(date_diff('day', newest.document_on, held.document_on)) <= 31
