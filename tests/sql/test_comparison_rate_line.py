from tests.support.drawn import assert_drawn


def test_liquids_go_by_roof_and_trim_by_ten_metres_of_need(relation):
    lines = relation(
        "comparison.rate_line",
        use_by_job="""
            job_ref  | material | kind    | area_m2 | fitted_net_quantity | used_quantity
            ---------+----------+---------+---------+---------------------+--------------
            2025-001 | resin    | resin   | 12      | 12.6                | 18
            2025-001 | mat      | mat     | 12      | 12                  | 14
            2025-001 | drip     | trim    | 12      | 15.5                | 18
            2025-001 | nails    | fixing  | 12      | 80                  | 90
            2025-001 | topcoat  | topcoat | 12      | 6                   |
            2025-002 | resin    | resin   |         |                     | 18
            2025-003 | resin    | resin   | 12      | 12.6                | 90
        """,
        held_back="""
            job_ref  | material
            ---------+---------
            2025-003 | resin
        """,
    )

    assert_drawn(
        lines,
        """
        job_ref  | material | size | rate_label
        ---------+----------+------+------------------
        2025-001 | drip     | 1.55 | m per 10 m needed
        2025-001 | mat      | 12   | m² per m² of roof
        2025-001 | resin    | 12   | kg per m²
        """,
    )
