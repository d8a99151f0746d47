from tests.support.drawn import assert_drawn


def test_the_rack_is_worth_what_its_pieces_brought_less_those_taken_by_then(relation):
    worth = relation(
        "stock.rack_at_month_end",
        rack_credit="""
            material | move_no | piece | moved_on   | moved_mm | cost_pence
            ---------+---------+-------+------------+----------+-----------
            trim     | 1       | gate  | 2026-04-10 | 1200     | 301
            trim     | 2       |       | 2026-04-11 | 900      | 200
            trim     | 4       |       | 2026-05-05 | 1000     | 250
            fillet   | 2       |       | 2026-06-01 | 800      | 90
            batten   | 1       |       | 2026-05-05 | 800      |
        """,
        rack_move="""
            material | move_no | piece | fate      | moved_on   | moved_mm
            ---------+---------+-------+-----------+------------+---------
            trim     | 1       | gate  | racked    | 2026-04-10 | 1200
            trim     | 2       |       | racked    | 2026-04-11 | 900
            trim     | 3       | gate  | from_rack | 2026-04-20 | 600
            trim     | 4       |       | racked    | 2026-05-05 | 1000
            trim     | 5       |       | scrapped  | 2026-05-20 | 1400
            trim     | 6       |       | from_rack | 2026-06-01 | 2000
            fillet   | 1       |       | from_rack | 2026-05-31 | 800
            fillet   | 2       |       | racked    | 2026-06-01 | 800
            batten   | 1       |       | racked    | 2026-05-05 | 800
        """,
    )

    # April: 301 + 200 less half of 301 (150.5, 151); May: + 250, less 200 and half of 250; of the
    # 2000 mm taken in June only 500 were there
    assert_drawn(
        worth,
        """
        material | month_on   | left_pence
        ---------+------------+-----------
        trim     | 2026-04-01 | 350
        trim     | 2026-05-01 | 275
        trim     | 2026-06-01 | 150
        fillet   | 2026-05-01 | -90
        fillet   | 2026-06-01 | 0
        batten   | 2026-05-01 |
        batten   | 2026-06-01 |
        """,
    )
