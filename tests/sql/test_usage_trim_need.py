from tests.support.drawn import assert_drawn


def test_runs_add_up_and_two_ends_make_one_corner_piece(relation):
    need = relation(
        "usage.trim_need",
        materials="""
            material    | kind
            ------------+-------------
            drip corner | corner piece
        """,
        edge_run="""
            job_ref  | edge_no | material  | corner_piece | corner_end_count | quoted_run_mm | fitted_run_mm
            ---------+---------+-----------+--------------+------------------+---------------+--------------
            2025-001 | 1       | drip trim | drip corner  | 1                | 3850          | 3850
            2025-001 | 2       | drip trim | drip corner  | 2                | 2700          | 2750
            2025-001 | 3       | side trim | drip corner  | 1                | 4105          | 4105
            2025-002 | 1       | drip trim | drip corner  | 1                | 1000          |
            2025-002 | 2       | drip trim | drip corner  | 0                | 2000          | 2000
        """,
    )

    # 3850 + 2700 = 6.55 m; ends 1 + 2 + 1 = 4, two pieces; a lonely end still takes a piece
    assert_drawn(
        need,
        """
        job_ref  | material    | quoted_net_quantity | fitted_net_quantity
        ---------+-------------+---------------------+--------------------
        2025-001 | drip corner | 2                   | 2
        2025-001 | drip trim   | 6.55                | 6.6
        2025-001 | side trim   | 4.105               | 4.105
        2025-002 | drip corner | 1                   |
        2025-002 | drip trim   | 3                   |
        """,
    )
