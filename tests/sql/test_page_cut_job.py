from tests.support.drawn import assert_drawn


def test_the_dearest_jobs_come_first_and_those_on_plan_do_not_come(relation):
    jobs = relation(
        "page.cut_job",
        cut_split="""
            job_ref  | material  | base_unit | completed_on | used_quantity | plan_quantity | beyond_plan_quantity
            ---------+-----------+-----------+--------------+---------------+---------------+---------------------
            2025-001 | drip trim | m         | 2026-05-01   | 14.0          | 11.0          | 3.0
            2025-002 | batten    | m         | 2026-04-01   | 14.0          | 9.2           | 4.8
            2025-003 | drip trim | m         | 2026-05-01   | 11.0          | 11.0          | 0
            2024-004 | drip trim | m         | 2024-05-01   | 20.0          | 11.0          | 9.0
            2025-005 | face trim | m         | 2026-05-01   | 14.0          | 11.0          | 3.0
        """,
        price_in_force="""
            material  | price_gbp
            ----------+----------
            drip trim | 4.00
            batten    | 1.10
        """,
    )

    assert_drawn(
        jobs,
        """
        job_ref  | material  | used_quantity | plan_quantity | beyond_gbp
        ---------+-----------+---------------+---------------+-----------
        2025-001 | drip trim | 14.0          | 11.0          | 12.00
        2025-002 | batten    | 14.0          | 9.2           | 5.28
        """,
    )
