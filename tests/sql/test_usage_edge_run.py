from tests.support.drawn import assert_drawn

MATERIALS = """
    material  | kind   | base_unit | corner_piece | corner_cover_mm
    ----------+--------+-----------+--------------+----------------
    drip trim | trim   | m         | drip corner  | 150
    batten    | batten | m         |              |
    board     | board  | m2        |              |
"""


def test_run_is_the_edge_less_a_cover_at_each_corner_piece(relation):
    run = relation(
        "usage.edge_run",
        materials=MATERIALS,
        jobs="""
            job_ref  | as_drawn
            ---------+---------
            2025-001 | yes
        """,
        edges="""
            job_ref  | edge_no | material  | quoted_mm | fitted_mm | start_end    | finish_end
            ---------+---------+-----------+-----------+-----------+--------------+-------------
            2025-001 | 1       | drip trim | 4000      |           | corner piece | corner piece
            2025-001 | 2       | drip trim | 3000      | 3050      | corner piece | into wall
            2025-001 | 3       | drip trim | 2000      |           | mitre        |
            2025-001 | 3       | batten    | 2000      |           |              |
            2025-001 | 3       | board     | 2000      |           |              |
        """,
    )

    # 4000 - 2 x 150 = 3700; 3050 - 150 = 2900
    assert_drawn(
        run,
        """
        edge_no | material  | corner_end_count | quoted_run_mm | fitted_edge_mm | fitted_run_mm
        --------+-----------+------------------+---------------+----------------+--------------
        1       | drip trim | 2                | 3700          | 4000           | 3700
        2       | drip trim | 1                | 2850          | 3050           | 2900
        3       | batten    | 0                | 2000          | 2000           | 2000
        3       | drip trim | 0                | 2000          | 2000           | 2000
        """,
    )


def test_fitted_is_not_known_where_the_card_says_nothing(relation):
    run = relation(
        "usage.edge_run",
        materials=MATERIALS,
        jobs="""
            job_ref  | as_drawn
            ---------+---------
            2025-001 |
            2025-002 | no
            2025-003 |
        """,
        edges="""
            job_ref  | edge_no | material  | quoted_mm | fitted_mm
            ---------+---------+-----------+-----------+----------
            2025-001 | 1       | drip trim | 4000      |
            2025-002 | 1       | drip trim | 4000      |
            2025-003 | 1       | drip trim | 4000      |
            2025-003 | 2       | drip trim | 1000      | 1200
        """,
    )

    assert_drawn(
        run,
        """
        job_ref  | edge_no | fitted_run_mm
        ---------+---------+--------------
        2025-001 | 1       |
        2025-002 | 1       |
        2025-003 | 1       | 4000
        2025-003 | 2       | 1200
        """,
    )
