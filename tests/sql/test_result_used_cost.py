from tests.support.drawn import assert_drawn


def test_used_is_issued_less_racked_and_from_the_rack(relation):
    used = relation(
        "result.used_cost",
        job_quantity="""
            job_ref  | material  | issued_quantity | returned_quantity | from_rack_quantity | racked_quantity | used_quantity
            ---------+-----------+-----------------+-------------------+--------------------+-----------------+--------------
            2026-001 | drip trim | 12              | 3                 |                    | 1.2             | 7.8
            2026-002 | drip trim | 3               |                   | 1.2                |                 | 4.2
            2026-003 | drip trim |                 |                   |                    |                 |
            2026-004 | drip trim | 3               |                   |                    |                 | 3
            2026-005 | drip trim | 3               | 6                 |                    |                 | -3
            2026-006 | drip trim | 3               | 3                 |                    |                 | 0
            2026-007 | drip trim | 3               |                   |                    |                 | 3
            2026-008 | drip trim | 3               |                   |                    | 1               | 2
        """,
        issue_cost="""
            job_ref  | material  | flow | quantity | cost_gbp | delivery_gbp | how
            ---------+-----------+------+----------+----------+--------------+-------------
            2026-001 | drip trim | job  | 3        | 10.00    | 0.40         | fifo
            2026-001 | drip trim | job  | 6        | 21.00    | 0            | next receipt
            2026-002 | drip trim | job  | 3        | 10.50    | 0.10         | fifo
            2026-007 | drip trim | job  | 3        |          |              | no price
            2026-008 | drip trim | job  | 3        | 10.50    |              | fifo
        """,
        rack_credit="""
            job_ref  | material  | moved_mm | quantity | cost_pence
            ---------+-----------+----------+----------+-----------
            2026-001 | drip trim | 1200     | 1.2      | 310
        """,
        rack_charge="""
            job_ref  | material  | fate      | quantity | cost_pence | how
            ---------+-----------+-----------+----------+------------+-----------
            2026-002 | drip trim | from_rack | 1.2      | 310        | next piece
                     | drip trim | scrapped  | 1        | 200        | racked
        """,
    )

    assert_drawn(
        used,
        """
        job_ref  | used_quantity | issued_gbp | delivery_gbp | racked_gbp | from_rack_gbp | used_gbp | how
        ---------+---------------+------------+--------------+------------+---------------+----------+---------------------
        2026-001 | 7.8           | 31.00      | 0.40         | 3.10       | 0             | 27.90    | next receipt
        2026-002 | 4.2           | 10.50      | 0.10         | 0          | 3.10          | 13.60    | next piece
        2026-004 | 3             | 0          | 0            | 0          | 0             |          | no day
        2026-005 | -3            | 0          | 0            | 0          | 0             |          | more back than taken
        2026-006 | 0             | 0          | 0            | 0          | 0             | 0        |
        2026-007 | 3             | 0          |              | 0          | 0             |          | no price
        2026-008 | 2             | 10.50      |              | 0          | 0             |          | no day
        """,
    )
