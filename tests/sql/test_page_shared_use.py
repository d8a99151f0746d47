from tests.support.drawn import assert_drawn


def test_a_ratio_stands_between_two_standard_errors_beside_what_was_shared_in_a_year(relation):
    shared = relation(
        "page.shared_use",
        shared_use="""
            material | base_unit | period_count | job_count | use_ratio | standard_error_ratio | label      | note
            ---------+-----------+--------------+-----------+-----------+----------------------+------------+------------
            primer   | kg        | 11           | 40        | 0.125     | 0.03125              | shared out |
            solvent  | l         | 2            | 4         |           |                      | shared out | Too few.
        """,
        shared_job="""
            material | job_ref  | from_on    | to_on      | shared_quantity
            ---------+----------+------------+------------+----------------
            primer   | 2026-001 | 2026-03-31 | 2026-04-30 | 3.5
            primer   | 2026-002 | 2026-03-31 | 2026-04-30 | 4.25
            primer   | 2025-001 | 2025-03-31 | 2025-04-30 | 9
        """,
    )

    assert_drawn(
        shared,
        """
        material | use_ratio | low_ratio | high_ratio | shared_quantity | job_count | note
        ---------+-----------+-----------+------------+-----------------+-----------+---------
        primer   | 0.125     | 0.0625    | 0.1875     | 7.75            | 2         |
        solvent  |           |           |            | 0               | 0         | Too few.
        """,
    )
