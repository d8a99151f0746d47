from tests.support.drawn import assert_drawn


def test_records_that_the_jobs_finished_lately_bring(relation):
    coverage = relation(
        "page.coverage",
        jobs="""
            job_ref  | status    | completed_on | quoted_price_gbp | area_m2 | measured_area_m2 | labour_days
            ---------+-----------+--------------+------------------+---------+------------------+------------
            2026-001 | completed | 2026-05-31   | 1000.00          | 20      | 20               |
            2026-002 | completed | 2026-03-01   | 1000.00          | 20      |                  |
            2026-003 | completed | 2026-02-28   |                  |         |                  |
        """,
        job_quantity="""
            job_ref  | material | used_quantity | returned_quantity
            ---------+----------+---------------+------------------
            2026-001 | resin    | 30            | 2
            2026-001 | mat      |               |
            2026-002 | resin    |               |
        """,
        edges="""
            job_ref  | edge_no
            ---------+--------
            2026-001 | 1
            2026-001 | 2
        """,
    )

    assert_drawn(
        coverage,
        """
        record_label                 | with_record_count | job_count
        -----------------------------+-------------------+----------
        Jobs measured on the roof    | 1                 | 2
        Jobs with a price            | 2                 | 2
        Jobs with an area            | 2                 | 2
        Jobs with labour             | 0                 | 2
        Jobs with their edges        | 1                 | 2
        Jobs with what came back     | 1                 | 2
        Jobs with what was taken out | 1                 | 2
        """,
    )
