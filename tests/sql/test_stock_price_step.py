from tests.support.drawn import assert_drawn

ASKED = """
    material | supplier | pack_size
    ---------+----------+----------
    resin    | Quayside | 20
"""


def test_list_of_the_supplier_asked_for_one_usual_pack(relation):
    steps = relation(
        "stock.price_step",
        supplier_asked=ASKED,
        prices="""
            supplier | material | pack_size | min_packs | pack_price_gbp | valid_from
            ---------+----------+-----------+-----------+----------------+-----------
            Quayside | resin    | 20        | 1         | 60.00          |
            Quayside | resin    | 20        | 1         | 64.00          | 2026-01-01
            Quayside | resin    | 20        | 5         | 58.00          | 2026-01-01
            Quayside | resin    | 200       | 1         | 500.00         | 2026-03-01
            Hilltop  | resin    | 20        | 1         | 40.00          | 2026-02-01
        """,
    )

    assert_drawn(
        steps,
        """
        from_on    | until_on   | price_gbp | how
        -----------+------------+-----------+-----
        1990-01-01 | 2026-01-01 | 3         | list
        2026-01-01 | 9999-12-31 | 3.2       | list
        """,
    )


def test_before_a_list_the_last_paid_and_before_that_the_first_paid_after(relation):
    steps = relation(
        "stock.price_step",
        supplier_asked=ASKED,
        prices="""
            supplier | material | pack_size | min_packs | pack_price_gbp | valid_from
            ---------+----------+-----------+-----------+----------------+-----------
            Quayside | resin    | 20        | 1         | 64.00          | 2026-01-01
        """,
        bought_line="""
            material | bought_on  | line_net_gbp | quantity | pack_size
            ---------+------------+--------------+----------+----------
            resin    | 2025-03-01 | 50.00        | 20       | 20
            resin    | 2025-06-01 | 54.00        | 20       | 20
            resin    | 2025-06-01 | 100.00       | 40       | 20
            resin    | 2026-02-01 | 70.00        | 20       | 20
        """,
    )

    # on 2025-06-01: (54 + 100) / 60
    assert_drawn(
        steps,
        """
        from_on    | until_on   | price_gbp      | how
        -----------+------------+----------------+-----------------
        1900-01-01 | 2025-03-01 | 2.5            | first paid after
        2025-03-01 | 2025-06-01 | 2.5            | last paid
        2025-06-01 | 2026-01-01 | 2.566666666667 | last paid
        2026-01-01 | 9999-12-31 | 3.2            | list
        """,
    )
