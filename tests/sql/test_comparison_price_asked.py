from tests.support.drawn import assert_drawn

ASKED = """
    material  | supplier | pack_size
    ----------+----------+----------
    resin     | Quayside | 20
    topcoat   | Quayside | 10
    drip trim | Osmer    | 3
    nails     | Osmer    | 1
"""
ITEMS = """
    material  | base_unit
    ----------+----------
    resin     | kg
    topcoat   | kg
    drip trim | m
    nails     | each
"""


def test_the_mean_of_the_last_three_invoices_beside_the_list(relation):
    asked = relation(
        "comparison.price_asked",
        supplier_asked=ASKED,
        materials=ITEMS,
        price_in_force="""
            material | base_unit | supplier | pack_size | price_gbp | from_on    | how
            ---------+-----------+----------+-----------+-----------+------------+-----
            resin    | kg        | Quayside | 20        | 3.00      | 2026-01-01 | list
            topcoat  | kg        | Quayside | 10        | 5.00      | 2026-01-01 | list
        """,
        bought_line="""
            material | supplier | document_no | pack_size | quantity | line_net_gbp | bought_on
            ---------+----------+-------------+-----------+----------+--------------+-----------
            resin    | Quayside | 101         | 20        | 100      | 900.00       | 2026-02-10
            resin    | Quayside | 102         | 20        | 100      | 310.00       | 2026-03-10
            resin    | Quayside | 103         | 20        | 40       | 128.00       | 2026-04-10
            resin    | Quayside | 103         | 20        | 60       | 192.00       | 2026-04-10
            resin    | Quayside | 104         | 20        | 100      | 330.00       | 2026-05-10
            resin    | Quayside | 105         | 5         | 5        | 30.00        | 2026-05-20
            resin    | Another  | 9           | 20        | 20       | 100.00       | 2026-05-21
            topcoat  | Quayside | 104         | 10        | 100      | 510.00       | 2026-05-10
        """,
    )

    # (3.10 + 3.20 + 3.30) / 3 = 3.20, 0.20 above the list; bought from March to May
    # 100 + 100 + 100 + 5 + 20 = 325 kg, a month 108.33 kg: 21.67. Topcoat: 2 in the hundred only
    assert_drawn(
        asked,
        """
        material | compared_with | invoice_count | known_price_gbp | asked_price_gbp | document_no | month_gbp
        ---------+---------------+---------------+-----------------+-----------------+-------------+----------
        resin    | list          | 3             | 3.0000          | 3.2000          | 104         | 21.67
        """,
    )


def test_without_a_list_the_newest_beside_the_one_before(relation):
    asked = relation(
        "comparison.price_asked",
        supplier_asked=ASKED,
        materials=ITEMS,
        price_in_force="""
            material  | base_unit | supplier | pack_size | price_gbp | from_on    | how
            ----------+-----------+----------+-----------+-----------+------------+----------
            drip trim | m         | Osmer    | 3         | 3.60      | 2026-05-10 | last paid
        """,
        bought_line="""
            material  | supplier | document_no | pack_size | quantity | line_net_gbp | bought_on
            ----------+----------+-------------+-----------+----------+--------------+-----------
            drip trim | Osmer    | 21          | 3         | 30       | 60.00        | 2025-11-10
            drip trim | Osmer    | 22          | 3         | 30       | 120.00       | 2026-01-10
            drip trim | Osmer    | 23          | 3         | 30       | 108.00       | 2026-05-10
            nails     | Osmer    | 23          | 1         | 100      | 1.00         | 2026-05-10
        """,
    )

    # 3.60 beside 4.00: 0.40 less on 10 m a month; one invoice of nails says nothing
    assert_drawn(
        asked,
        """
        material  | compared_with  | invoice_count | known_price_gbp | asked_price_gbp | known_from_on | change_ratio | month_gbp
        ----------+----------------+---------------+-----------------+-----------------+---------------+--------------+----------
        drip trim | invoice before | 1             | 4.0000          | 3.6000          | 2026-01-10    | -0.1         | -4.00
        """,
    )
