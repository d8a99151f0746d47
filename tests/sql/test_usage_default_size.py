from tests.support.drawn import assert_drawn


def test_each_size_that_no_record_gave_is_said_and_no_other(relation):
    sizes = relation(
        "usage.default_size",
        materials="""
            material  | kind  | stock_length_mm | lap_mm | kerf_mm | keep_from_mm | density_kg_per_l | default_columns
            ----------+-------+-----------------+--------+---------+--------------+------------------+----------------
            drip trim | trim  | 3000            | 50     | 3       | 600          |                  | stock_length_mm, keep_from_mm
            resin     | resin |                 |        |         |              | 1.1              | density_kg_per_l
            face trim | trim  | 2500            | 50     | 3       | 600          |                  |
        """,
    )

    assert_drawn(
        sizes,
        """
        material  | kind  | column_name      | said
        ----------+-------+------------------+-----------------
        drip trim | trim  | keep_from_mm     | kept from 600 mm
        drip trim | trim  | stock_length_mm  | length 3000 mm
        resin     | resin | density_kg_per_l | density 1.1 kg per l
        """,
    )
