from tests.support.drawn import assert_drawn

MATERIALS = """
    material  | kind  | base_unit | width_mm
    ----------+-------+-----------+---------
    resin     | resin | kg        |
    drip trim | trim  | m         |
    board     | board | m2        | 675
"""


def test_entries_add_up_and_the_quote_does_not(relation):
    quantity = relation(
        "usage.job_quantity",
        materials=MATERIALS,
        job_materials="""
            job_ref  | material | entry | estimated_quantity | issued_quantity | returned_quantity | how
            ---------+----------+-------+--------------------+-----------------+-------------------+--------
            2025-001 | resin    | 1     | 30                 | 20              |                   | weighed
            2025-001 | resin    | 2     | 30                 | 25.5            | 4.25              | judged
        """,
    )

    # used 20 + 25.5 - 4.25 = 41.25
    assert_drawn(
        quantity,
        """
        material | estimated_quantity | issued_quantity | returned_quantity | drawn_quantity | used_quantity | how             | entry_count
        ---------+--------------------+-----------------+-------------------+----------------+---------------+-----------------+------------
        resin    | 30                 | 45.5            | 4.25              | 41.25          | 41.25         | judged, weighed | 2
        """,
    )


def test_rack_pieces_are_drawn_and_pieces_put_there_are_not_used(relation):
    quantity = relation(
        "usage.job_quantity",
        materials=MATERIALS,
        job_materials="""
            job_ref  | material  | entry | issued_quantity | returned_quantity
            ---------+-----------+-------+-----------------+------------------
            2025-001 | drip trim | 1     | 12              | 3
        """,
        offcuts="""
            job_ref  | material  | length_mm | pieces | fate
            ---------+-----------+-----------+--------+----------
            2025-001 | drip trim | 1100      | 2      | from_rack
            2025-001 | drip trim | 850       | 1      | racked
            2025-001 | drip trim | 120       | 3      | binned
            2025-002 | drip trim | 900       | 1      | racked
            2025-001 | board     | 1000      | 2      | racked
        """,
    )

    # drawn 12 + 2 x 1.1 - 3 = 11.2; used 11.2 - 0.85 = 10.35; board 2 x 1.0 x 0.675 = 1.35 m2
    assert_drawn(
        quantity,
        """
        job_ref  | material  | from_rack_quantity | racked_quantity | binned_quantity | drawn_quantity | used_quantity
        ---------+-----------+--------------------+-----------------+-----------------+----------------+--------------
        2025-001 | board     |                    | 1.35            |                 |                |
        2025-001 | drip trim | 2.2                | 0.85            | 0.36            | 11.2           | 10.35
        2025-002 | drip trim |                    | 0.9             |                 |                |
        """,
    )


def test_nothing_recorded_is_not_nothing_used(relation):
    quantity = relation(
        "usage.job_quantity",
        materials=MATERIALS,
        job_materials="""
            job_ref  | material | entry | estimated_quantity | issued_quantity
            ---------+----------+-------+--------------------+----------------
            2025-001 | resin    | 1     | 30                 |
            2025-002 | resin    | 1     | 30                 | 0
        """,
    )

    assert_drawn(
        quantity,
        """
        job_ref  | used_quantity
        ---------+--------------
        2025-001 |
        2025-002 | 0
        """,
    )
