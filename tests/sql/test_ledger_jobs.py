from tests.support.drawn import assert_drawn


def test_status_follows_from_the_dates_and_the_lay_up_from_the_type(relation):
    jobs = relation(
        "ledger.jobs",
        jobs_as_typed="""
            job_ref  | job_type | status | quoted_on  | planned_on | completed_on | quoted_area_m2 | measured_area_m2 | lay_up
            ---------+----------+--------+------------+------------+--------------+----------------+------------------+-----------
            2025-001 | garage   |        | 2025-01-01 |            |              | 10             |                  |
            2025-002 | garage   |        | 2025-01-01 | 2025-02-01 |              | 10             |                  | 600 single
            2025-003 | garage   |        |            | 2025-02-01 | 2025-02-02   | 10             | 11               |
            2025-004 | dormer   | lost   | 2025-01-01 |            |              |                |                  |
        """,
        job_type="""
            job_type | lay_up
            ---------+-----------
            garage   | 450 single
        """,
    )

    assert_drawn(
        jobs,
        """
        job_ref  | status    | area_m2 | lay_up
        ---------+-----------+---------+-----------
        2025-001 | quoted    | 10      | 450 single
        2025-002 | booked    | 10      | 600 single
        2025-003 | completed | 11      | 450 single
        2025-004 | lost      |         |
        """,
    )
