from tests.support.drawn import assert_drawn


def test_lines_are_ranked_by_their_number_else_by_what_they_say(relation):
    lines = relation(
        "feed.purchase_line",
        purchases="""
            supplier | document_type | document_no | year | line_no | line_kind | material | quantity | line_net_gbp | document_on | delivered_on | row_no
            ---------+---------------+-------------+------+---------+-----------+----------+----------+--------------+-------------+--------------+-------
            Quayside | invoice       | 1001        | 2026 | 2       | goods     | resin    | 40       | 128.20       | 2026-05-04  | 2026-05-06   | 2
            Quayside | invoice       | 1001        | 2026 | 1       | goods     | topcoat  | 10       | 42.00        | 2026-05-04  |              | 3
            Hillside | invoice       | 7           | 2026 |         | goods     | resin    | 20       | 64.10        | 2026-05-04  |              | 2
            Hillside | invoice       | 7           | 2026 |         | carriage  |          |          | 12.00        | 2026-05-04  |              | 3
            Hillside | invoice       | 7           | 2026 |         | goods     | mat      | 60       | 90.00        | 2026-05-04  |              | 4
            Hillside | credit        | 9           | 2026 |         | goods     | mat      |          | -1.05        | 2026-05-04  |              | 4
            Quayside | invoice       | 1002        | 2026 | 1       | goods     | resin    | 20       | 64.10        | 2026-05-30  | 2026-06-02   | 2
        """,
    )

    assert_drawn(
        lines,
        """
        supplier | document_no | material | line_rank | received_on | net_pence
        ---------+-------------+----------+-----------+-------------+----------
        Quayside | 1001        | topcoat  | 1         | 2026-05-04  | 4200
        Quayside | 1001        | resin    | 2         | 2026-05-06  | 12820
        Hillside | 7           | mat      | 1         | 2026-05-04  | 9000
        Hillside | 7           | resin    | 2         | 2026-05-04  | 6410
        Hillside | 7           |          | 3         | 2026-05-04  | 1200
        Hillside | 9           | mat      | 1         | 2026-05-04  | -105
        """,
    )
