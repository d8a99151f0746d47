from tests.support.drawn import assert_drawn


def test_pieces_are_as_last_counted_with_what_moved_since(relation):
    pieces = relation(
        "stock.rack_piece",
        materials="""
            material  | kind  | stock_length_mm
            ----------+-------+----------------
            drip trim | trim  | 3000
            face trim | trim  | 3000
            deck      | board |
        """,
        stock_counts="""
            counted_on | material  | place | length_mm | pieces
            -----------+-----------+-------+-----------+-------
            2026-04-30 | drip trim | yard  | 900       | 5
            2026-05-31 | drip trim | yard  | 3000      | 4
            2026-05-31 | drip trim | yard  | 1200      | 2
            2026-05-31 | drip trim | van   | 1200      | 1
            2026-05-31 | drip trim | yard  | 800       | 1
            2026-05-31 | deck      | yard  | 1200      | 3
        """,
        rack_move="""
            material  | fate      | length_mm | pieces | moved_on
            ----------+-----------+-----------+--------+-----------
            drip trim | racked    | 700       | 1      | 2026-05-31
            drip trim | racked    | 700       | 2      | 2026-06-02
            drip trim | from_rack | 1200      | 1      | 2026-06-02
            drip trim | scrapped  | 800       | 1      | 2026-06-03
            face trim | racked    | 700       | 2      | 2026-06-02
        """,
    )

    assert_drawn(
        pieces,
        """
        material  | length_mm | pieces
        ----------+-----------+-------
        drip trim | 700       | 2
        drip trim | 1200      | 2
        """,
    )
