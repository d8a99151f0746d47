from tests.support.drawn import assert_drawn


def test_parts_of_the_jobs_of_late_are_summed_and_the_unknown_is_counted(relation):
    parts = relation(
        "page.margin_part",
        margin_part="""
            job_ref  | material | part_no | part         | completed_on | cost_gbp | quoted_gbp | part_gbp | why_none
            ---------+----------+---------+--------------+--------------+----------+------------+----------+---------
            2026-001 | resin    | 2       | buying price | 2026-05-04   | 50.00    | 45.00      | 3.00     |
            2026-001 | resin    | 4       | laps         | 2026-05-04   | 50.00    | 45.00      |          |
            2026-001 | resin    | 9       | not split    | 2026-05-04   | 50.00    | 45.00      | 2.00     |
            2026-002 | mat      | 2       | buying price | 2026-04-04   | 20.00    | 21.00      | -1.50    |
            2026-002 | mat      | 4       | laps         | 2026-04-04   | 20.00    | 21.00      | 0.50     |
            2026-002 | mat      | 9       | not split    | 2026-04-04   | 20.00    | 21.00      | 0        |
            2026-003 | mat      | 2       | buying price | 2026-04-04   |          |            |          | no price
            2025-003 | mat      | 2       | buying price | 2025-04-04   | 20.00    | 21.00      | 9.00     |
            2026-002 | mat      | 3       | bigger       | 2026-04-04   | 20.00    | 21.00      | 2.40     |
        """,
        job="""
            job_ref  | extras_gbp
            ---------+-----------
            2026-001 | 150.00
            2026-002 | 20.00
            2026-003 | 9.00
            2025-003 |
        """,
    )

    assert_drawn(
        parts,
        """
        part_no | part         | part_gbp | known_count | line_count | job_count | cost_gbp | quoted_gbp | charged_gbp
        --------+--------------+----------+-------------+------------+-----------+----------+------------+------------
        2       | buying price | 1.50     | 2           | 2          | 2         | 70.00    | 66.00      |
        3       | bigger       | 2.40     | 1           | 1          | 1         | 20.00    | 21.00      | 170.00
        4       | laps         | 0.50     | 1           | 2          | 2         | 70.00    | 66.00      |
        9       | not split    | 2.00     | 2           | 2          | 2         | 70.00    | 66.00      |
        """,
    )
