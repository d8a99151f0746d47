from tests.support.drawn import assert_drawn

JOBS = """
    job_ref  | job_type | status    | completed_on | quoted_price_gbp | extras_gbp | labour_days | labour_cost_gbp
    ---------+----------+-----------+--------------+------------------+------------+-------------+----------------
    2025-001 | garage   | completed | 2026-05-31   | 1000.00          | 99.00      | 2.5         |
    2025-002 | garage   | completed | 2026-05-31   | 1000.00          | 99.00      | 2.5         | 400.00
    2025-003 | garage   | completed | 2026-05-31   |                  | 99.00      |             |
    2025-004 | garage   | completed | 2026-05-31   | 1000.00          |            |             |
    2025-005 | garage   | booked    |              | 1000.00          |            |             |
"""


def test_left_is_price_with_extras_less_the_rounded_lines_of_use(relation):
    margin = relation(
        "margin.job",
        jobs=JOBS,
        extras="""
            job_ref  | extra_no | price_gbp
            ---------+----------+----------
            2025-001 | 1        | 150.00
            2025-001 | 2        | -20.00
        """,
        use_by_job="""
            job_ref  | material | used_quantity | cost_gbp
            ---------+----------+---------------+---------
            2025-001 | resin    | 20            | 62.33
            2025-001 | mat      | 12            | 30.10
            2025-001 | nails    | 80            |
            2025-001 | board    |               |
            2025-002 | resin    | 20            | 62.33
            2025-003 | resin    | 20            | 62.33
        """,
    )

    # 1000 + 150 - 20 = 1130, as rows of extras stand before the sum on the job; 2.5 x 210 = 525
    assert_drawn(
        margin,
        """
        job_ref  | price_gbp | extras_gbp | materials_gbp | unpriced_count | unpriced_materials | labour_gbp | left_gbp
        ---------+-----------+------------+---------------+----------------+--------------------+------------+---------
        2025-001 | 1130.00   | 130.00     | 92.43         | 1              | nails              | 525.00     | 1037.57
        2025-002 | 1099.00   | 99.00      | 62.33         | 0              |                    | 400.00     | 1036.67
        2025-003 |           | 99.00      | 62.33         | 0              |                    |            |
        2025-004 | 1000.00   |            |               | 0              |                    |            |
        """,
    )
