from tests.support.drawn import assert_drawn


def test_counts_before_purchases_with_two_standard_errors_either_way(relation):
    rates = relation(
        "page.firm_wide_rate",
        consumable_rate="""
            material | base_unit | source_label   | job_count | rate | allowed_rate | standard_error_rate
            ---------+-----------+----------------+-----------+------+--------------+--------------------
            solvent  | l         | booked to jobs | 30        | 0.12 | 0.1          | 0.01
            nails    | each      | bought         | 30        | 8    |              | 5
            primer   | kg        | bought         | 30        | 0.4  |              | 0.1
        """,
        shared_use="""
            material | base_unit | use_ratio | standard_error_ratio
            ---------+-----------+-----------+---------------------
            primer   | kg        | 0.25      | 0.05
            topcoat  | kg        |           |
        """,
        shared_job="""
            material | job_ref  | shared_quantity
            ---------+----------+----------------
            primer   | 2026-001 | 3
            primer   | 2026-002 | 2
            primer   | 2026-003 | 9
            topcoat  | 2026-001 | 5
        """,
        jobs="""
            job_ref  | area_m2
            ---------+--------
            2026-001 | 15
            2026-002 | 10
            2026-003 |
        """,
    )

    # primer: 5 kg on 25 m2, error 0.2 x 0.05 / 1.25
    assert_drawn(
        rates,
        """
        material | source_label   | job_count | rate | low_rate | high_rate | allowed_rate
        ---------+----------------+-----------+------+----------+-----------+-------------
        nails    | bought         | 30        | 8    | 0        | 18        |
        primer   | counted        | 2         | 0.2  | 0.184    | 0.216     |
        solvent  | booked to jobs | 30        | 0.12 | 0.1      | 0.14      | 0.1
        """,
    )
