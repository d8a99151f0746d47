from tests.support.drawn import assert_drawn


def test_lots_begin_with_the_first_day_without_rack_pieces_and_booked_open_packs(relation):
    counted = relation(
        "feed.first_count",
        count_day="""
            material  | counted_on | quantity | lots_quantity | lots_sealed_quantity
            ----------+------------+----------+---------------+---------------------
            drip trim | 2026-03-31 | 19.2     | 18            | 18
            drip trim | 2026-04-30 | 9        | 9             | 9
            resin     | 2026-04-30 | 27.5     | 27.5          | 20
            nails     | 2026-04-30 | 3500     | 3500          | 3000
            board     | 2026-05-31 | 0.42     | 0             | 0
        """,
        issue_habit="""
            material  | is_whole_packs
            ----------+---------------
            nails     | true
            resin     | false
        """,
    )

    assert_drawn(
        counted,
        """
        material  | counted_on | quantity
        ----------+------------+---------
        drip trim | 2026-03-31 | 18
        resin     | 2026-04-30 | 27.5
        nails     | 2026-04-30 | 3000
        board     | 2026-05-31 | 0
        """,
    )
