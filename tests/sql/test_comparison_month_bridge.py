from tests.support.drawn import assert_drawn

TERMS = """
    month_on   | material | term         | pence
    -----------+----------+--------------+------
    2026-04-01 | resin    | first count  | 3000
    2026-04-01 | resin    | goods        | 5300
    2026-04-01 | resin    | delivery     | 401
    2026-04-01 | resin    | outside      | 250
    2026-04-01 | resin    | found        | 90
    2026-04-01 | resin    | jobs         | 1000
    2026-04-01 | resin    | losses       | 100
    2026-04-01 | resin    | missing      | 300
    2026-04-01 | trim     | scrapped     | 40
    2026-04-01 | trim     | jobs         | -290
    2026-04-01 |          | own line     | 1200
    2026-04-01 | glue     | found        |
    2026-04-01 | glue     | goods        | 999
    2026-06-01 | resin    | not booked   | 500
    2026-06-01 | resin    | returned     | 400
    2026-06-01 | resin    | credited     | 700
"""
LOTS = """
    material | month_on   | left_pence
    ---------+------------+-----------
    resin    | 2026-04-01 | 7641
    resin    | 2026-05-01 | 7641
    resin    | 2026-06-01 | 6742
    glue     | 2026-04-01 |
"""
RACK = """
    material | month_on   | left_pence
    ---------+------------+-----------
    trim     | 2026-04-01 | 250
    trim     | 2026-05-01 | 250
    trim     | 2026-06-01 | 250
"""


def test_opening_and_movements_are_the_closing_or_the_month_says_by_how_much_not(relation):
    bridge = relation(
        "comparison.month_bridge",
        month_term=TERMS,
        lots_at_month_end=LOTS,
        rack_at_month_end=RACK,
    )

    # in: 30.00 + 53.00 + 4.01 + 2.50 + 0.90 = 90.41; out: 7.10 + 1.00 + 3.00 + 0.40 = 11.50, left
    # 78.91. In June 78.91 - 9.00 is 69.91 and 69.92 is left
    assert_drawn(
        bridge,
        """
        month_on   | opening_gbp | goods_gbp | jobs_gbp | scrapped_gbp | not_booked_gbp | missing_gbp | closing_gbp | difference_gbp | own_line_gbp | credited_gbp | unpriced_materials
        -----------+-------------+-----------+----------+--------------+----------------+-------------+-------------+----------------+--------------+--------------+-------------------
        2026-04-01 | 0           | 53.00     | 7.10     | 0.40         | 0              | 3.00        | 78.91       | 0.00           | 12.00        | 0            | glue
        2026-05-01 | 78.91       | 0         | 0        | 0            | 0              | 0           | 78.91       | 0.00           | 0            | 0            | glue
        2026-06-01 | 78.91       | 0         | 0        | 0            | 5.00           | 0           | 69.92       | -0.01          | 0            | 7.00         | glue
        """,
    )
