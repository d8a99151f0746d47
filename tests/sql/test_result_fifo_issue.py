from tests.support.drawn import assert_drawn


def test_a_movement_takes_the_lots_that_it_overlaps_and_a_lot_gives_all_its_pence(relation):
    issues = relation(
        "result.fifo_issue",
        materials="""
            material | costing
            ---------+--------
            resin    |
            nails    | average
        """,
        lot="""
            material | lot_no | received_on | quantity | cost_pence | delivery_pence
            ---------+--------+-------------+----------+------------+---------------
            resin    | 1      | 2026-04-01  | 3        | 100        | 10
            resin    | 2      | 2026-04-20  | 2        | 90         | 0
            nails    | 1      | 2026-04-01  | 500      | 900        | 0
        """,
        stock_out="""
            material | out_no | out_on     | quantity | moves_stock
            ---------+--------+------------+----------+------------
            resin    | 1      | 2026-03-02 | 50       | false
            resin    | 2      | 2026-04-02 | 1        | true
            resin    | 3      | 2026-04-03 | 1        | true
            resin    | 4      | 2026-04-04 | 1.5      | true
            resin    | 5      | 2026-04-20 | 1        | true
            resin    | 6      | 2026-04-21 | 4        | true
            nails    | 1      | 2026-04-02 | 100      | true
        """,
    )

    # a third of 100 upto each: 33, 67, 100; half a kilo of the next lot was taken before it came;
    # of the last 4 kg only half a kilo was ever bought
    assert_drawn(
        issues,
        """
        out_no | lot_no | quantity | cost_pence | delivery_pence | is_early
        -------+--------+----------+------------+----------------+---------
        2      | 1      | 1        | 33         | 3              | false
        3      | 1      | 1        | 34         | 4              | false
        4      | 1      | 1        | 33         | 3              | false
        4      | 2      | 0.5      | 23         | 0              | true
        5      | 2      | 1        | 45         | 0              | false
        6      | 2      | 0.5      | 22         | 0              | false
        """,
    )
