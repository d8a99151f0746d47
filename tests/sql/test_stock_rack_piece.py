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


def test_a_count_of_part_of_the_yard_leaves_the_other_pieces_where_they_are(relation):
    pieces = relation(
        "stock.rack_piece",
        materials="""
            material  | kind | stock_length_mm
            ----------+------+----------------
            drip trim | trim | 3000
            face trim | trim | 3000
            wall trim | trim | 3000
        """,
        stock_counts="""
            counted_on | material  | place | length_mm | pieces | quantity
            -----------+-----------+-------+-----------+--------+---------
            2026-04-30 | drip trim | yard  | 1200      | 2      | 2.4
            2026-04-30 | drip trim | van   | 900       | 1      | 0.9
            2026-04-30 | face trim | yard  | 1500      | 1      | 1.5
            2026-04-30 | wall trim | yard  | 800       | 3      | 2.4
            2026-05-15 | drip trim | van   | 3000      | 2      | 6
            2026-05-20 | face trim | yard  |           |        | 12
            2026-05-20 | wall trim | yard  |           |        | 0
            2026-06-02 | drip trim | yard  | 400       | 9      | 3.6
        """,
        rack_move="""
            material  | fate   | length_mm | pieces | moved_on
            ----------+--------+-----------+--------+-----------
            drip trim | racked | 700       | 1      | 2026-05-10
        """,
    )

    # the van was counted without a piece; 12 m of face trim say nothing of pieces; of wall trim
    # there was nothing at all; what was racked on 10 May came after the yard's own count; the
    # count of 2 June lies beyond the day of the run
    assert_drawn(
        pieces,
        """
        material  | length_mm | pieces
        ----------+-----------+-------
        drip trim | 700       | 1
        drip trim | 1200      | 2
        face trim | 1500      | 1
        """,
    )
