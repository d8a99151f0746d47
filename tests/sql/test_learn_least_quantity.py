from tests.support.drawn import assert_drawn


def test_least_of_a_sound_roof_by_kind(relation):
    least = relation(
        "learn.least_quantity",
        job_material="""
            job_ref  | material | kind    | layer_count
            ---------+----------+---------+------------
            2025-001 | resin    | resin   |
            2025-001 | mat 450  | mat     | 2
            2025-001 | topcoat  | topcoat |
            2025-001 | paint    | topcoat |
            2025-002 | resin    | resin   |
        """,
        jobs="""
            job_ref  | lay_up     | area_m2
            ---------+------------+--------
            2025-001 | 450 double | 10
            2025-002 | 450 double |
        """,
        materials="""
            material | coverage_per_m2 | coverage_basis
            ---------+-----------------+---------------
            resin    |                 |
            mat 450  |                 |
            topcoat  | 0.5             | net
            paint    | 0.5             | gross
        """,
        lay_up="""
            lay_up     | resin_kg_per_m2
            -----------+----------------
            450 double | 2.1
        """,
    )

    # 10 x 2.1; 0.98 x 10 x 2 layers; 0.8 x 10 x 0.5
    assert_drawn(
        least,
        """
        job_ref  | material | least_quantity
        ---------+----------+---------------
        2025-001 | mat 450  | 19.6
        2025-001 | resin    | 21
        2025-001 | topcoat  | 4
        """,
    )
