from tests.support.drawn import assert_drawn


def test_sizes_stand_together_for_materials_that_are_cut(relation):
    sizes = relation(
        "page.default_size",
        default_size="""
            material  | column_name      | said
            ----------+------------------+---------------
            drip trim | stock_length_mm  | length 3000 mm
            drip trim | lap_mm           | overlap 50 mm
            drip trim | density_kg_per_l | density 1 kg per l
            face trim | lap_mm           | overlap 50 mm
        """,
        cut_job="""
            job_ref  | material  | stage  | plan
            ---------+-----------+--------+-----
            2026-001 | drip trim | quoted | best
            2026-002 | drip trim | quoted | best
        """,
    )

    assert_drawn(
        sizes,
        """
        material  | sizes
        ----------+------------------------------
        drip trim | length 3000 mm, overlap 50 mm
        """,
    )
