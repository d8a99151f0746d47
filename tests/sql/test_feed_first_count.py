from tests.support.drawn import assert_drawn


def test_the_first_day_counts_all_places_and_no_rack_piece(relation):
    counted = relation(
        "feed.first_count",
        materials="""
            material  | stock_length_mm | length_mm
            ----------+-----------------+----------
            drip trim | 3000            |
            resin     |                 |
            board     |                 | 2400
        """,
        stock_counts="""
            counted_on | material  | place | length_mm | quantity
            -----------+-----------+-------+-----------+---------
            2026-03-31 | drip trim | yard  | 3000      | 15
            2026-03-31 | drip trim | van   |           | 3
            2026-03-31 | drip trim | yard  | 1200      | 1.2
            2026-04-30 | drip trim | yard  |           | 9
            2026-04-30 | resin     | yard  |           | 0
            2026-05-31 | resin     | yard  |           | 20
            2026-05-31 | board     | yard  | 700       | 0.42
            2026-06-02 | glue      | yard  |           | 5
        """,
    )

    assert_drawn(
        counted,
        """
        material  | counted_on | quantity
        ----------+------------+---------
        drip trim | 2026-03-31 | 18
        resin     | 2026-04-30 | 0
        board     | 2026-05-31 | 0
        """,
    )
