from tests.support.drawn import assert_drawn


def test_twelve_months_of_a_type(relation):
    compared = relation(
        "comparison.allowed_by_job_type",
        rate_line="""
            job_ref  | job_type | material | kind  | base_unit | completed_on | rate_label | size | allowed_quantity | used_quantity | base_quantity
            ---------+----------+----------+-------+-----------+--------------+------------+------+------------------+---------------+--------------
            2025-001 | garage   | resin    | resin | kg        | 2025-06-01   | kg per m²  | 10   | 15               | 20            | 13
            2025-002 | garage   | resin    | resin | kg        | 2026-05-31   | kg per m²  | 30   |                  | 40            | 39
            2025-003 | garage   | resin    | resin | kg        | 2025-05-31   | kg per m²  | 10   | 15               | 99            | 13
            2025-004 | garage   | resin    | resin | kg        | 2026-01-31   | kg per m²  | 10   | 15               | 99            |
        """,
        least_quantity="""
            job_ref  | material | least_quantity
            ---------+----------+---------------
            2025-001 | resin    | 10.5
        """,
    )

    # allowed 15 / 10, floor 10.5 / 10, both over the one job that has them
    assert_drawn(
        compared,
        """
        job_type | job_count | size | base_quantity | used_quantity | allowed_rate | floor_rate
        ---------+-----------+------+---------------+---------------+--------------+-----------
        garage   | 2         | 40.0 | 52.0          | 60.0          | 1.5          | 1.05
        """,
    )


def test_plans_are_summed_where_every_job_has_its_own(relation):
    compared = relation(
        "comparison.allowed_by_job_type",
        rate_line="""
            job_ref  | job_type | material | kind | base_unit | completed_on | rate_label | size | used_quantity | base_quantity | best_quantity | no_reuse_quantity
            ---------+----------+----------+------+-----------+--------------+------------+------+---------------+---------------+---------------+------------------
            2025-001 | garage   | mat 450  | mat  | m2        | 2025-06-01   | m² per m²  | 10   | 12            | 10            | 11            | 11.5
            2025-002 | garage   | mat 450  | mat  | m2        | 2026-05-31   | m² per m²  | 30   | 34            | 30            | 33            | 34
            2025-003 | bay      | mat 450  | mat  | m2        | 2026-05-31   | m² per m²  | 3    | 4             | 3             | 3.5           | 3.6
            2025-004 | bay      | mat 450  | mat  | m2        | 2026-05-31   | m² per m²  | 3    | 4             | 3             |               |
        """,
    )

    assert_drawn(
        compared,
        """
        job_type | base_quantity | best_quantity | no_reuse_quantity
        ---------+---------------+---------------+------------------
        garage   | 40.0          | 44.0          | 45.5
        bay      | 6.0           |               |
        """,
    )
