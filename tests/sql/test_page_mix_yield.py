from tests.support.drawn import assert_drawn


def test_the_memos_of_the_jobs_of_late_are_summed_by_kind(relation):
    memos = relation(
        "page.mix_yield",
        mix_yield="""
            job_ref  | kind  | completed_on | mix_gbp | yield_gbp
            ---------+-------+--------------+---------+----------
            2026-001 | mat   | 2026-05-04   | 3.10    | -1.00
            2026-002 | mat   | 2026-03-01   | -0.10   | 5.00
            2026-002 | resin | 2026-03-01   | 1.00    | 2.00
            2026-003 | mat   | 2026-02-28   | 9.00    | 9.00
        """,
    )

    assert_drawn(
        memos,
        """
        kind  | mix_gbp | yield_gbp | job_count
        ------+---------+-----------+----------
        mat   | 3.00    | 4.00      | 2
        resin | 1.00    | 2.00      | 1
        """,
    )
