from tests.support.drawn import assert_drawn


def test_jobs_are_counted_by_where_they_stand(relation):
    firm = relation(
        "page.firm",
        jobs="""
            job_ref  | status    | completed_on | labour_days
            ---------+-----------+--------------+------------
            2026-001 | completed | 2026-05-31   |
            2026-002 | completed | 2026-02-28   |
            2026-003 | completed | 2026-06-02   |
            2026-004 | booked    |              | 2
        """,
        job_materials="""
            job_ref  | material | estimated_quantity
            ---------+----------+-------------------
            2026-001 | resin    | 30
        """,
    )

    assert_drawn(
        firm,
        """
        finished_job_count | lately_job_count | booked_job_count | has_issues | has_edges | has_counts | has_labour
        -------------------+------------------+------------------+------------+-----------+------------+-----------
        2                  | 1                | 1                | false      | false     | false      | true
        """,
    )
