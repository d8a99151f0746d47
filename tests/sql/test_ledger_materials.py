from tests.support.drawn import assert_drawn


def test_defaults_of_the_kind_are_filled_and_named(relation):
    materials = relation(
        "ledger.materials",
        materials_as_typed="""
            material | kind     | lap_mm | stock_length_mm | density_kg_per_l
            ---------+----------+--------+-----------------+-----------------
            drip     | trim     | 30     |                 |
            resin    | resin    |        |                 |
            topcoat  | topcoat  |        |                 | 1.25
            catalyst | catalyst |        |                 |
        """,
        kind_default="""
            kind    | lap_mm | stock_length_mm | keep_from_mm | kerf_mm | density_kg_per_l
            --------+--------+-----------------+--------------+---------+-----------------
            trim    | 50     | 3000            | 600          | 0       |
            resin   |        |                 |              |         | 1.10
            topcoat |        |                 |              |         | 1.20
        """,
    )

    assert_drawn(
        materials,
        """
        material | lap_mm | stock_length_mm | keep_from_mm | kerf_mm | density_kg_per_l | default_columns
        ---------+--------+-----------------+--------------+---------+------------------+---------------------------------------
        catalyst |        |                 |              |         |                  |
        drip     | 30     | 3000            | 600          | 0       |                  | stock_length_mm, kerf_mm, keep_from_mm
        resin    |        |                 |              |         | 1.10             | density_kg_per_l
        topcoat  |        |                 |              |         | 1.25             |
        """,
    )
