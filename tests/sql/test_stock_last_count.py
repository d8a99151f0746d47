from tests.support.drawn import assert_drawn


def test_places_add_up(relation):
    stood = relation(
        "stock.last_count",
        place_count="""
            material | place | lot | newest_on  | quantity
            ---------+-------+-----+------------+---------
            resin    | yard  | one | 2026-05-31 | 20
            resin    | yard  | two | 2026-05-31 | 5.5
            resin    | van   |     | 2026-05-31 | 4
        """,
    )

    assert_drawn(
        stood,
        """
        material | counted_on | quantity | place_count
        ---------+------------+----------+------------
        resin    | 2026-05-31 | 29.5     | 2
        """,
    )
