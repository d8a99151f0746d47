from tests.support.drawn import assert_drawn


def test_what_is_left_of_a_lot_is_what_no_movement_took(relation):
    left = relation(
        "stock.lot_left",
        materials="""
            material | costing
            ---------+--------
            resin    | fifo
            mat      |
            nails    | average
        """,
        lot="""
            material | lot_no | received_on | quantity | cost_pence
            ---------+--------+-------------+----------+-----------
            resin    | 1      | 2026-04-01  | 3        | 100
            resin    | 2      | 2026-04-20  | 2        | 90
            mat      | 1      | 2026-04-01  | 60       |
            nails    | 1      | 2026-04-01  | 500      | 900
        """,
        fifo_issue="""
            material | out_no | lot_no | quantity | cost_pence
            ---------+--------+--------+----------+-----------
            resin    | 1      | 1      | 2        | 67
            resin    | 2      | 1      | 1        | 33
            resin    | 2      | 2      | 0.5      | 23
        """,
        average_left="""
            material | left_quantity | left_pence
            ---------+---------------+-----------
            nails    | 400           | 720
        """,
    )

    assert_drawn(
        left,
        """
        material | lot_no | received_on | left_quantity | left_gbp
        ---------+--------+-------------+---------------+---------
        resin    | 2      | 2026-04-20  | 1.5           | 0.67
        mat      | 1      | 2026-04-01  | 60            |
        nails    |        |             | 400           | 7.20
        """,
    )
