from tests.support.drawn import assert_drawn


def test_rates_are_of_sums_and_the_allowed_one_is_over_the_jobs_that_have_one(relation):
    monthly = relation(
        "comparison.use_by_month",
        rate_line="""
            job_ref  | material | kind  | base_unit | month_on   | rate_label | size | allowed_quantity | used_quantity
            ---------+----------+-------+-----------+------------+------------+------+------------------+--------------
            2025-001 | resin    | resin | kg        | 2026-05-01 | kg per m²  | 10   | 15               | 20
            2025-002 | resin    | resin | kg        | 2026-05-01 | kg per m²  | 30   |                  | 40
            2025-003 | resin    | resin | kg        | 2026-04-01 | kg per m²  | 10   |                  | 16
        """,
    )

    # (20 + 40) / (10 + 30), where the mean of the two rates would be 1.667; 15 / 10
    assert_drawn(
        monthly,
        """
        month_on   | job_count | use_rate | allowed_rate
        -----------+-----------+----------+-------------
        2026-04-01 | 1         | 1.6      |
        2026-05-01 | 2         | 1.5      | 1.5
        """,
    )
