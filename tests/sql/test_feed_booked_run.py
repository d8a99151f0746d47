from tests.support.drawn import assert_drawn


def test_only_quoted_trims_of_booked_jobs(relation):
    runs = relation(
        "feed.booked_run",
        jobs="""
            job_ref  | status    | planned_on
            ---------+-----------+-----------
            2026-001 | booked    | 2026-06-02
            2026-002 | completed |
        """,
        cut_run="""
            job_ref  | material  | kind   | stage  | edge_no | run_mm
            ---------+-----------+--------+--------+---------+-------
            2026-001 | drip trim | trim   | quoted | 1       | 4000
            2026-001 | drip trim | trim   | fitted | 1       | 4010
            2026-001 | batten    | batten | quoted | 1       | 4000
            2026-002 | drip trim | trim   | quoted | 1       | 4000
        """,
    )

    assert_drawn(
        runs,
        """
        job_ref  | planned_on | material  | edge_no | run_mm
        ---------+------------+-----------+---------+-------
        2026-001 | 2026-06-02 | drip trim | 1       | 4000
        """,
    )
