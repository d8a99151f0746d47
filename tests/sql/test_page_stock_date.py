from tests.support.drawn import assert_drawn


def test_a_lot_stands_once_with_its_places_and_the_date_of_the_count_else_of_the_invoice(relation):
    dated = relation(
        "page.stock_date",
        materials="""
            material | base_unit
            ---------+----------
            resin    | kg
        """,
        place_count="""
            material | place | lot  | length_mm | quantity | expires_on
            ---------+-------+------+-----------+----------+-----------
            resin    | yard  | lot7 |           | 20       | 2026-06-11
            resin    | van   | lot7 |           | 5        | 2026-06-11
            resin    | shed  | lot7 |           | 5        |
            resin    | yard  | lot8 |           | 0        | 2026-06-11
            resin    | yard  | lot9 |           | 5        |
        """,
        bought_line="""
            material | lot  | expires_on
            ---------+------+-----------
            resin    | lot7 | 2026-05-30
        """,
    )

    assert_drawn(
        dated,
        """
        lot  | places    | quantity | expires_on | days_left
        -----+-----------+----------+------------+----------
        lot7 | shed      | 5        | 2026-05-30 | -2
        lot7 | yard, van | 25       | 2026-06-11 | 10
        """,
    )
