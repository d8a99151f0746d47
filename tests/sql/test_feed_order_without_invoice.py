from tests.support.drawn import assert_drawn


def test_an_order_that_no_invoice_answers(relation):
    orders = relation(
        "feed.order_without_invoice",
        materials="""
            material | pack_size
            ---------+----------
            resin    | 20
            mat      | 76
        """,
        orders="""
            order_no | line_no | supplier | material | packs | pack_size | ordered_on | due_on     | received_on | cancelled_on
            ---------+---------+----------+----------+-------+-----------+------------+------------+-------------+-------------
            one      | 1       | merchant | resin    | 3     | 20        | 2026-04-01 | 2026-04-03 | 2026-04-04  |
            one      | 2       | merchant | mat      | 2     |           | 2026-04-01 | 2026-04-03 |             |
            two      | 1       | merchant | resin    | 1     | 20        | 2026-04-08 |            |             |
            three    | 1       | merchant | resin    | 2     | 20        | 2026-04-09 | 2026-04-10 |             | 2026-04-09
            four     | 1       | merchant | resin    | 5     | 20        | 2026-06-02 |            |             |
            five     | 1       | merchant | resin    | 4     | 20        | 2026-04-12 | 2026-04-14 |             |
        """,
        purchases="""
            supplier | material | order_no | quantity | document_on
            ---------+----------+----------+----------+------------
            merchant | resin    | one      | 60       | 2026-04-04
            merchant | resin    |          | 20       | 2026-04-10
            merchant | resin    |          | 80       | 2026-04-11
        """,
    )

    # order one's mat is on no invoice; two came without its number; five's 80 kg are older
    assert_drawn(
        orders,
        """
        order_no | material | quantity | due_on
        ---------+----------+----------+-----------
        one      | mat      | 152      | 2026-04-03
        five     | resin    | 80       | 2026-04-14
        """,
    )
