from tests.support.drawn import assert_drawn


def test_what_a_count_found_missing_leaves_at_the_end_of_its_day(relation):
    out = relation(
        "feed.stock_out",
        booked_out="""
            material | flow | job_ref  | out_key | out_on     | quantity | moves_stock
            ---------+------+----------+---------+------------+----------+------------
            resin    | job  | 2026-002 | 1       | 2026-04-30 | 20       | true
            resin    | loss |          | 1       | 2026-04-30 | 1        | true
            resin    | job  | 2026-001 | 2       | 2026-04-10 | 3        | true
            resin    | job  | 2026-001 | 1       | 2026-04-10 | 4        | false
            resin    | job  | 2026-003 | 1       | 2026-05-01 | 5        | true
        """,
        count_difference="""
            material | counted_on | difference_quantity
            ---------+------------+--------------------
            resin    | 2026-04-30 | 2.5
            resin    | 2026-05-31 | -4
            mat      | 2026-04-30 | 0
        """,
    )

    assert_drawn(
        out,
        """
        material | out_no | flow  | job_ref  | out_on     | quantity | moves_stock
        ---------+--------+-------+----------+------------+----------+------------
        resin    | 1      | job   | 2026-001 | 2026-04-10 | 4        | false
        resin    | 2      | job   | 2026-001 | 2026-04-10 | 3        | true
        resin    | 3      | job   | 2026-002 | 2026-04-30 | 20       | true
        resin    | 4      | loss  |          | 2026-04-30 | 1        | true
        resin    | 5      | count |          | 2026-04-30 | 2.5      | true
        resin    | 6      | job   | 2026-003 | 2026-05-01 | 5        | true
        """,
    )
