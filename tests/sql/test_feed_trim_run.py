from tests.support.drawn import assert_drawn


def test_each_stage_has_its_runs_unless_none_is_known(relation):
    runs = relation(
        "feed.trim_run",
        materials="""
            material  | stock_length_mm | lap_mm | kerf_mm | keep_from_mm
            ----------+-----------------+--------+---------+-------------
            drip trim | 3000            | 50     | 0       | 600
        """,
        edge_run="""
            job_ref  | edge_no | material  | kind   | quoted_run_mm | fitted_run_mm
            ---------+---------+-----------+--------+---------------+--------------
            2025-001 | 1       | drip trim | trim   | 4000          | 4100
            2025-001 | 2       | drip trim | trim   | 2000          |
            2025-002 | 1       | drip trim | trim   | 1000          |
            2025-002 | 1       | batten    | batten | 1000          | 1000
        """,
    )

    assert_drawn(
        runs,
        """
        job_ref  | stage  | edge_no | run_mm | stock_length_mm | lap_mm
        ---------+--------+---------+--------+-----------------+-------
        2025-001 | fitted | 1       | 4100   | 3000            | 50
        2025-001 | fitted | 2       |        | 3000            | 50
        2025-001 | quoted | 1       | 4000   | 3000            | 50
        2025-001 | quoted | 2       | 2000   | 3000            | 50
        2025-002 | quoted | 1       | 1000   | 3000            | 50
        """,
    )
