from tests.support.drawn import assert_drawn


def test_a_racked_piece_carries_its_share_of_what_the_jobs_new_lengths_cost(relation):
    credits_ = relation(
        "result.rack_credit",
        rack_move="""
            material  | move_no | job_ref  | fate      | moved_on   | moved_mm | quantity
            ----------+---------+----------+-----------+------------+----------+---------
            drip trim | 1       | 2026-001 | racked    | 2026-05-08 | 1200     | 1.2
            drip trim | 2       | 2026-002 | racked    | 2026-05-08 | 1000     | 1
            drip trim | 3       | 2026-003 | from_rack | 2026-05-08 | 900      | 0.9
            wall trim | 1       | 2026-003 | racked    | 2026-05-08 | 900      | 0.9
        """,
        reuse_share="""
            month_on   | share_numerator | share_denominator
            -----------+-----------------+------------------
            2026-05-01 | 3000            | 4000
        """,
        issue_cost="""
            material  | job_ref  | flow | quantity | cost_gbp
            ----------+----------+------+----------+---------
            drip trim | 2026-001 | job  | 6        | 20.00
            drip trim | 2026-001 | job  | 3        | 11.00
            drip trim |          | loss | 3        | 99.00
        """,
        price_step="""
            material  | from_on    | price_gbp
            ----------+------------+----------
            drip trim | 1900-01-01 | 9
            drip trim | 2026-05-08 | 3.333333333333
        """,
    )

    # 3100 x 1.2 / 9 x 3/4 = 310; without new lengths 3.333333 x 3/4 = 2.50; of the last no price
    assert_drawn(
        credits_,
        """
        material  | move_no | job_ref  | cost_pence
        ----------+---------+----------+-----------
        drip trim | 1       | 2026-001 | 310
        drip trim | 2       | 2026-002 | 250
        wall trim | 1       | 2026-003 |
        """,
    )
