from tests.support.drawn import assert_drawn


def test_lots_and_pieces_of_a_place_stand_together_with_its_own_day(relation):
    placed = relation(
        "page.place_as_counted",
        materials="""
            material | base_unit
            ---------+----------
            resin    | kg
            mat      | m2
        """,
        price_in_force="""
            material | price_gbp
            ---------+----------
            resin    | 3.205
        """,
        place_count="""
            material | place | lot  | length_mm | counted_on | newest_on  | quantity
            ---------+-------+------+-----------+------------+------------+---------
            resin    | yard  | lot7 |           | 2026-05-31 | 2026-05-31 | 20
            resin    | yard  | lot8 |           | 2026-05-31 | 2026-05-31 | 5
            resin    | van   | lot7 |           | 2026-05-15 | 2026-05-31 | 30
            resin    | shed  |      |           | 2026-05-31 | 2026-05-31 | 0
            mat      | yard  |      |           | 2026-05-31 | 2026-05-31 | 57
        """,
    )

    # 25 x 3.205 is 80.125, half away from zero
    assert_drawn(
        placed,
        """
        material | place | counted_on | quantity | value_gbp
        ---------+-------+------------+----------+----------
        mat      | yard  | 2026-05-31 | 57       |
        resin    | van   | 2026-05-15 | 30       | 96.15
        resin    | yard  | 2026-05-31 | 25       | 80.13
        """,
    )
