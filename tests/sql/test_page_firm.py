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


def test_jobs_of_which_a_rate_of_vat_is_missing_are_counted_apart(relation):
    firm = relation(
        "page.firm",
        job="""
            job_ref  | completed_on | own_gbp | vat_gbp
            ---------+--------------+---------+--------
            2026-001 | 2026-05-31   | 120.00  |
            2026-002 | 2026-05-30   | 120.00  | 24.00
            2026-003 | 2026-05-29   |         |
            2026-004 | 2026-02-28   | 120.00  |
        """,
    )

    assert_drawn(
        firm,
        """
        vat_unknown_count | bears_vat
        ------------------+----------
        1                 | false
        """,
    )
