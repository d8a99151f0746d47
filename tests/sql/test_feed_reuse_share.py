from tests.support.drawn import assert_drawn


def test_the_share_is_of_the_moves_before_the_month_once_twenty_pieces_were_racked(relation):
    shares = relation(
        "feed.reuse_share",
        firm="reuse_share_ratio\n-----------------\n0.4",
        rack_move="""
            fate      | moved_on   | pieces | moved_mm
            ----------+------------+--------+---------
            racked    | 2026-01-15 | 19     | 19000
            from_rack | 2026-01-20 | 5      | 4000
            racked    | 2026-02-15 | 1      | 1000
            scrapped  | 2026-02-20 | 1      | 1000
            from_rack | 2026-03-20 | 9      | 8000
            from_rack | 2026-04-20 | 9      | 9000
            from_rack | 2026-05-20 | 1      | 1000
        """,
    )

    # March: 4 m of 20; April: 12 m of 20; May: 21 m of 20 is no more than all
    assert_drawn(
        shares,
        """
        month_on   | racked_count | share_numerator | share_denominator | how
        -----------+--------------+-----------------+-------------------+--------
        2026-01-01 | 0            | 400000          | 1000000           | setting
        2026-02-01 | 19           | 400000          | 1000000           | setting
        2026-03-01 | 20           | 4000            | 20000             | own
        2026-04-01 | 20           | 12000           | 20000             | own
        2026-05-01 | 20           | 20000           | 20000             | own
        """,
    )
