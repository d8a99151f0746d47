from tests.support.drawn import assert_drawn


def test_ratio_of_sums_with_its_range_the_months_before_and_pounds_under_the_aim(relation):
    left = relation(
        "page.left_by_job_type",
        job="""
            job_ref  | job_type | completed_on | price_gbp | materials_gbp | labour_gbp | left_gbp
            ---------+----------+--------------+-----------+---------------+------------+---------
            2026-001 | garage   | 2026-03-01   | 1000.00   | 700.00        | 200.00     | 300.00
            2026-002 | garage   | 2026-04-15   | 1000.00   | 600.00        | 210.00     | 400.00
            2026-003 | garage   | 2026-05-31   | 2000.00   | 1600.00       | 420.00     | 400.00
            2026-004 | garage   | 2026-02-28   | 1000.00   | 550.00        |            | 450.00
            2026-005 | bay      | 2026-05-01   | 1000.00   | 500.00        |            | 500.00
            2026-006 | bay      | 2025-11-30   | 1000.00   | 500.00        |            | 500.00
            2026-007 | bay      | 2026-05-01   |           | 500.00        |            |
        """,
        use_by_job="""
            job_ref  | material | used_quantity | cost_gbp
            ---------+----------+---------------+---------
            2026-001 | resin    | 20            | 60.00
            2026-001 | nails    | 90            |
            2026-002 | nails    | 90            |
            2026-002 | primer   | 2             |
            2026-003 | sealant  |               |
            2026-004 | solvent  | 5             |
            2026-007 | primer   | 2             |
        """,
    )

    # nails and primer of the garages have no price; of sealant nothing is known to be used
    # garages 1100 / 4000 = 0.275 under 0.4: 0.4 x 4000 - 1100 = 500;
    # ratios 0.3, 0.4, 0.2 have sd 0.1: 1.645 x 0.1 / sqrt(3) = 0.094974
    assert_drawn(
        left,
        """
        job_type | job_count | price_gbp | materials_gbp | labour_gbp | left_gbp | left_ratio | low_ratio | high_ratio | before_ratio | before_job_count | below_aim_gbp | unpriced_count
        ---------+-----------+-----------+---------------+------------+----------+------------+-----------+------------+--------------+------------------+---------------+---------------
        bay      | 1         | 1000.00   | 500.00        |            | 500.00   | 0.5        |           |            |              | 0                |               | 0
        garage   | 3         | 4000.00   | 2900.00       | 830.00     | 1100.00  | 0.275      | 0.180026  | 0.369974   | 0.45         | 1                | 500.00        | 2
        """,
    )
