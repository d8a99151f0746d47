from tests.support.drawn import assert_drawn


def test_price_is_the_stated_net_over_the_quantity_of_goods_on_invoices(relation):
    lines = relation(
        "stock.bought_line",
        purchases="""
            supplier | document_type | document_no | line_kind | material | document_on | delivered_on | quantity | line_net_gbp
            ---------+---------------+-------------+-----------+----------+-------------+--------------+----------+-------------
            Quayside | invoice       | 1001        | goods     | resin    | 2026-05-01  | 2026-05-03   | 40       | 100.10
            Quayside | credit        | 1002        | goods     | resin    | 2026-05-01  |              | -40      | -100.10
            Quayside | invoice       | 1003        | carriage  |          | 2026-05-01  |              |          | 12.00
            Quayside | invoice       | 1004        | goods     | resin    | 2026-05-01  |              |          | 90.00
            Quayside | invoice       | 1005        | goods     | resin    | 2026-06-02  |              | 40       | 90.00
        """,
    )

    # 100.10 / 40 = 2.5025
    assert_drawn(
        lines,
        """
        document_no | bought_on  | price_gbp
        ------------+------------+----------
        1001        | 2026-05-03 | 2.5025
        """,
    )
