from tests.support.drawn import assert_drawn


def test_what_should_be_left_of_a_dated_lot_stands_with_its_places_as_counted(relation):
    dated = relation(
        "page.stock_date",
        materials="""
            material | base_unit
            ---------+----------
            resin    | kg
        """,
        lot_position="""
            material | lot  | expires_on | counted_on | places    | left_quantity
            ---------+------+------------+------------+-----------+--------------
            resin    | lot7 | 2026-06-11 | 2026-05-15 | yard, van | 25
            resin    | lot6 | 2026-05-30 | 2026-05-15 | shed      | 5
            resin    | lot5 | 2026-05-20 | 2026-05-15 | yard      | 0
            resin    | lot8 | 2026-09-01 | 2026-05-15 |           | 40
            resin    | lot9 |            | 2026-05-15 | yard      | 5
        """,
    )

    # lot5 is used up, lot9 has no date; lot8 came in after the count
    assert_drawn(
        dated,
        """
        lot  | places                    | quantity | expires_on | days_left | counted_on
        -----+---------------------------+----------+------------+-----------+-----------
        lot6 | shed                      | 5        | 2026-05-30 | -2        | 2026-05-15
        lot7 | yard, van                 | 25       | 2026-06-11 | 10        | 2026-05-15
        lot8 | not counted since it came | 40       | 2026-09-01 | 92        | 2026-05-15
        """,
    )
