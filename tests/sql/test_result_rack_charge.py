from tests.support.drawn import assert_drawn


def test_what_leaves_the_rack_takes_the_pence_that_it_brought(relation):
    charges = relation(
        "result.rack_charge",
        rack_credit="""
            material  | move_no | piece | moved_on   | moved_mm | cost_pence
            ----------+---------+-------+------------+----------+-----------
            drip trim | 1       |       | 2026-04-08 | 1200     | 310
            drip trim | 2       | red   | 2026-04-08 | 900      | 333
            drip trim | 3       |       | 2026-05-20 | 1000     | 250
        """,
        rack_move="""
            material  | move_no | job_ref  | piece | fate      | moved_on   | moved_mm | quantity
            ----------+---------+----------+-------+-----------+------------+----------+---------
            drip trim | 4       | 2026-003 |       | from_rack | 2026-05-08 | 700      | 0.7
            drip trim | 5       |          |       | scrapped  | 2026-05-09 | 600      | 0.6
            drip trim | 6       | 2026-003 | red   | from_rack | 2026-05-09 | 900      | 0.9
            drip trim | 7       | 2026-004 |       | from_rack | 2026-05-21 | 1400     | 1.4
            drip trim | 8       | 2026-005 | blue  | from_rack | 2026-05-21 | 900      | 0.9
        """,
        reuse_share="""
            month_on   | share_numerator | share_denominator
            -----------+-----------------+------------------
            2026-05-01 | 1               | 2
        """,
        price_step="""
            material  | from_on    | price_gbp
            ----------+------------+----------
            drip trim | 1900-01-01 | 4.01
        """,
    )

    # 310 x 700 / 1200 = 180.8: 181; the other 129 and 25 of the next, which came later; 225 and half
    # of 0.5 m at 4.01 = 1.0025; half of 0.9 m at 4.01 = 1.8045
    assert_drawn(
        charges,
        """
        move_no | job_ref  | fate      | cost_pence | unracked_pence | how
        --------+----------+-----------+------------+----------------+-----------
        4       | 2026-003 | from_rack | 181        | 0              | racked
        5       |          | scrapped  | 154        | 0              | next piece
        6       | 2026-003 | from_rack | 333        | 0              | racked
        7       | 2026-004 | from_rack | 325        | 100            | not racked
        8       | 2026-005 | from_rack | 180        | 180            | not racked
        """,
    )
