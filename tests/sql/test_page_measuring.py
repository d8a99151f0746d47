from tests.support.drawn import assert_drawn


def test_difference_is_over_the_quoted_area(relation):
    measured = relation(
        "page.measuring",
        jobs="""
            job_ref  | job_type | status    | completed_on | quoted_area_m2 | measured_area_m2
            ---------+----------+-----------+--------------+----------------+-----------------
            2026-001 | garage   | completed | 2026-05-31   | 20             | 21
            2026-002 | garage   | completed | 2026-05-31   | 20             |
            2026-003 | garage   | completed | 2024-05-31   | 20             | 21
            2026-004 | garage   | booked    |              | 20             | 21
        """,
    )

    assert_drawn(
        measured,
        """
        job_ref  | difference_ratio
        ---------+-----------------
        2026-001 | 0.05
        """,
    )
