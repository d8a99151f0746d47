from tests.support.drawn import assert_drawn


def test_months_of_the_last_two_years(relation):
    left = relation(
        "page.left_by_month",
        job="""
            job_ref  | month_on   | completed_on | price_gbp | materials_gbp | left_gbp
            ---------+------------+--------------+-----------+---------------+---------
            2026-001 | 2026-05-01 | 2026-05-02   | 1000.00   | 700.00        | 300.00
            2026-002 | 2026-05-01 | 2026-05-31   | 3000.00   | 600.00        | 2400.00
            2026-003 | 2026-06-01 | 2026-06-01   | 3000.00   | 600.00        | 2400.00
            2024-001 | 2024-06-01 | 2024-06-01   | 1000.00   | 600.00        | 400.00
            2024-002 | 2024-05-01 | 2024-05-31   | 1000.00   | 600.00        | 400.00
        """,
        use_by_job="""
            job_ref  | material | used_quantity | cost_gbp
            ---------+----------+---------------+---------
            2026-001 | nails    | 90            |
            2026-002 | nails    | 90            |
            2026-002 | resin    | 20            | 60.00
            2024-002 | primer   | 2             |
        """,
    )

    # 2700 / 4000, where the mean of the two ratios would be 0.55
    assert_drawn(
        left,
        """
        month_on   | job_count | price_gbp | materials_gbp | left_gbp | left_ratio | unpriced_count
        -----------+-----------+-----------+---------------+----------+------------+---------------
        2024-06-01 | 1         | 1000.00   | 600.00        | 400.00   | 0.4        | 0
        2026-05-01 | 2         | 4000.00   | 1300.00       | 2700.00  | 0.675      | 1
        """,
    )
