from tests.support.drawn import assert_drawn


def test_list_beside_the_last_three_invoices_of_the_same_supplier(relation):
    quoted = relation(
        "comparison.price_in_quotes",
        materials="""
            material | base_unit
            ---------+----------
            resin    | kg
        """,
        supplier_asked="""
            material | supplier | pack_size
            ---------+----------+----------
            resin    | Quayside | 20
        """,
        price_in_force="""
            material | price_gbp | from_on    | pack_size | how
            ---------+-----------+------------+-----------+-----
            resin    | 3.0       | 2025-01-01 | 20        | list
        """,
        bought_line="""
            material | supplier | document_no | bought_on  | price_gbp | pack_size | quantity | line_net_gbp
            ---------+----------+-------------+------------+-----------+-----------+----------+-------------
            resin    | Quayside | 1           | 2026-02-28 | 3.1       | 20        | 20       | 62.00
            resin    | Quayside | 2           | 2026-03-01 | 3.2       | 20        | 40       | 128.00
            resin    | Quayside | 3           | 2026-04-01 | 3.25      | 20        | 20       | 65.00
            resin    | Quayside | 4           | 2026-05-01 | 3.3       | 20        | 20       | 66.00
            resin    | Hilltop  | 5           | 2026-05-31 | 9.0       | 20        | 1        | 9.00
        """,
    )

    # since 1 March: 128 + 65 + 66 + 9 = 268; gap 8 + 5 + 6 + 6 = 25; change 3.3 / 3 - 1
    assert_drawn(
        quoted,
        """
        supplier | list_price_gbp | invoice_price_1_gbp | invoice_on_1 | invoice_price_2_gbp | invoice_price_3_gbp | change_ratio | lately_bought_gbp | lately_gap_gbp
        ---------+----------------+---------------------+--------------+---------------------+---------------------+--------------+-------------------+---------------
        Quayside | 3.0            | 3.3                 | 2026-05-01   | 3.25                | 3.2                 | 0.1          | 268.00            | 25.00
        """,
    )
