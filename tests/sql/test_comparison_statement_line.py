from tests.support.drawn import assert_drawn

FILE = """
    receipt_no | file_name
    -----------+--------------
    1          | invoices.csv
    2          | april.csv
    3          | may.csv
"""


def test_what_a_statement_names_is_held_missing_or_another_sum(relation):
    lines = relation(
        "comparison.statement_line",
        file=FILE,
        statements="""
            supplier | document_type | document_no | document_on | gross_gbp | receipt_no | sheet | row_no
            ---------+---------------+-------------+-------------+-----------+------------+-------+-------
            Mossgate |               | 0101        | 2026-04-02  | 120.00    | 2          |       | 2
            Mossgate |               | inv-102     | 2026-04-09  | 60.00     | 2          |       | 3
            Mossgate |               | 103         | 2026-04-16  | 99.00     | 2          |       | 4
            Mossgate | credit        | 104         | 2026-04-17  | 24.00     | 2          |       | 5
            Mossgate |               | 105         | 2026-04-18  | -12.00    | 2          |       | 6
            Mossgate |               | 106         | 2026-04-20  | 50.00     | 2          |       | 7
            Tarn     |               | 101         | 2026-04-02  | 120.00    | 3          | acc   | 2
        """,
        purchases="""
            supplier | document_type | document_no | year | document_on | line_net_gbp | vat_pct
            ---------+---------------+-------------+------+-------------+--------------+--------
            Mossgate | invoice       | 101         | 2026 | 2026-04-02  | 80.00        | 20
            Mossgate | invoice       | 101         | 2026 | 2026-04-02  | 20.00        | 20
            Mossgate | invoice       | INV 102     | 2026 | 2026-04-10  | 40.00        | 20
            Mossgate | invoice       | INV 102     | 2026 | 2026-04-10  | 10.00        | 5
            Mossgate | credit        | 104         | 2026 | 2026-04-17  | -20.00       | 20
            Mossgate | invoice       | 103         | 2025 | 2025-04-16  | 82.50        | 20
            Mossgate | invoice       | 106         | 2026 | 2026-04-20  | 41.00        |
        """,
    )

    # 101: (80 + 20) x 1.2 = 120; 102: 40 x 1.2 + 10 x 1.05 = 58.50, two pence apart at most;
    # 103 of the year before is another paper; 104: -20 x 1.2; 105 is a credit by its sign
    assert_drawn(
        lines,
        """
        supplier | document_type | document_no | gross_gbp | held_gross_gbp | standing                | file_name | row_no
        ---------+---------------+-------------+-----------+----------------+-------------------------+-----------+-------
        Mossgate | invoice       | 0101        | 120.00    | 120.00         | agrees                  | april.csv | 2
        Mossgate | invoice       | inv-102     | 60.00     | 58.50          | differs                 | april.csv | 3
        Mossgate | invoice       | 103         | 99.00     |                | missing                 | april.csv | 4
        Mossgate | credit        | 104         | -24.00    | -24.00         | agrees                  | april.csv | 5
        Mossgate | credit        | 105         | -12.00    |                | missing                 | april.csv | 6
        Mossgate | invoice       | 106         | 50.00     |                | held, its VAT not known | april.csv | 7
        Tarn     | invoice       | 101         | 120.00    |                | missing                 | may.csv   | 2
        """,
    )


def test_a_later_statement_says_the_same_paper_once(relation):
    lines = relation(
        "comparison.statement_line",
        file=FILE,
        statements="""
            supplier | document_type | document_no | document_on | gross_gbp | receipt_no | sheet | row_no
            ---------+---------------+-------------+-------------+-----------+------------+-------+-------
            Mossgate |               | 101         | 2026-04-02  | 120.00    | 2          |       | 2
            Mossgate | invoice       | 101         | 2026-04-02  | 120.50    | 3          |       | 9
        """,
    )

    assert_drawn(
        lines,
        """
        document_no | gross_gbp | standing | file_name | row_no
        ------------+-----------+----------+-----------+-------
        101         | 120.50    | missing  | may.csv   | 9
        """,
    )
