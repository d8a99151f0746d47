from tests.support.drawn import assert_drawn


def test_what_past_jobs_bear_out_stands_first(relation):
    found = relation(
        "page.cold_month",
        cold_month="""
            material | cold_job_count | warm_job_count | cold_ratio | tried_job_count | is_told
            ---------+----------------+----------------+------------+-----------------+--------
            gel      | 3              | 9              |            | 0               | false
            resin    | 70             | 150            | 0.04       | 120             | true
        """,
    )

    assert_drawn(
        found,
        """
        material | cold_job_count | warm_job_count | cold_ratio | tried_job_count | is_told
        ---------+----------------+----------------+------------+-----------------+--------
        resin    | 70             | 150            | 0.04       | 120             | true
        gel      | 3              | 9              |            | 0               | false
        """,
    )
    assert found["material"].to_list() == ["resin", "gel"]
