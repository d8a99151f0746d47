from tests.support.drawn import assert_drawn


def test_what_went_is_taken_from_the_nearest_date_first(relation):
    lots = relation(
        "stock.lot_position",
        place_count="""
            material | place | lot  | newest_on  | quantity | expires_on
            ---------+-------+------+------------+----------+-----------
            resin    | yard  | late | 2026-04-30 | 40       |
            resin    | van   | soon | 2026-04-30 | 8        | 2026-07-01
            resin    | yard  | soon | 2026-04-30 | 20       | 2026-07-01
            resin    | yard  |      | 2026-04-30 | 5        |
            mat      | yard  |      | 2026-04-30 | 76       |
        """,
        bought_line="""
            material | lot  | expires_on | bought_on  | quantity
            ---------+------+------------+------------+---------
            resin    | late | 2026-09-01 | 2026-04-20 | 40
            resin    | new  | 2026-08-01 | 2026-05-10 | 20
            mat      |      |            | 2026-04-30 | 76
        """,
        stock_move="""
            material | moved_on   | flow     | quantity
            ---------+------------+----------+---------
            resin    | 2026-04-30 | issued   | -90
            resin    | 2026-05-10 | bought   | 20
            resin    | 2026-05-12 | issued   | -50
            resin    | 2026-05-12 | returned | 6
            resin    | 2026-05-20 | lost     | -1
        """,
    )

    # 50 - 6 + 1 = 45 went since: 28 of soon, then 17 of new; late and undated are untouched
    assert_drawn(
        lots,
        """
        material | lot  | expires_on | counted_on | places    | counted_quantity | bought_since_quantity | left_quantity
        ---------+------+------------+------------+-----------+------------------+-----------------------+--------------
        resin    | soon | 2026-07-01 | 2026-04-30 | yard, van | 28               | 0                     | 0
        resin    | new  | 2026-08-01 | 2026-04-30 |           | 0                | 20                    | 3
        resin    | late | 2026-09-01 | 2026-04-30 | yard      | 40               | 0                     | 40
        resin    |      |            | 2026-04-30 | yard      | 5                | 0                     | 5
        mat      |      |            | 2026-04-30 | yard      | 76               | 0                     | 76
        """,
    )
