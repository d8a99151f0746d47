from tests.support.drawn import assert_drawn


def test_pieces_move_on_their_own_day_else_on_the_jobs_and_racked_first(relation):
    moves = relation(
        "feed.rack_move",
        jobs="""
            job_ref  | completed_on
            ---------+-------------
            2026-001 | 2026-05-08
            2026-002 |
        """,
        materials="""
            material  | base_unit | width_mm
            ----------+-----------+---------
            drip trim | m         |
            board     | m2        | 600
        """,
        offcuts="""
            job_ref  | material  | fate      | length_mm | pieces | moved_on
            ---------+-----------+-----------+-----------+--------+-----------
            2026-001 | drip trim | from_rack | 900       | 1      |
            2026-001 | drip trim | racked    | 1200      | 2      |
            2026-001 | drip trim | binned    | 300       | 1      |
            2026-002 | drip trim | from_rack | 1200      | 1      |
                     | drip trim | scrapped  | 700       | 1      | 2026-05-02
            2026-001 | board     | racked    | 1205      | 1      |
        """,
    )

    assert_drawn(
        moves,
        """
        material  | move_no | fate      | moved_on   | moved_mm | quantity
        ----------+---------+-----------+------------+----------+---------
        drip trim | 1       | scrapped  | 2026-05-02 | 700      | 0.7
        drip trim | 2       | racked    | 2026-05-08 | 2400     | 2.4
        drip trim | 3       | from_rack | 2026-05-08 | 900      | 0.9
        board     | 1       | racked    | 2026-05-08 | 1205     | 0.723
        """,
    )
