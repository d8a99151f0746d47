from tests.support.drawn import assert_drawn


def test_boards_and_mats_come_with_their_sizes_where_need_and_area_are_known(relation):
    roofs = relation(
        "feed.sheet_roof",
        cutting="""
            joist_mm | stagger_mm | reuse_from_mm
            ---------+------------+--------------
                     | 400        | 400
        """,
        jobs="""
            job_ref  | quoted_area_m2 | area_m2
            ---------+----------------+--------
            2025-001 | 12             | 13
            2025-002 | 9              |
        """,
        net_quantity="""
            job_ref  | material   | kind  | quoted_net_quantity | fitted_net_quantity
            ---------+------------+-------+---------------------+--------------------
            2025-001 | deck board | board | 12                  | 13
            2025-001 | mat 450    | mat   | 24                  |
            2025-001 | resin      | resin | 12                  | 13
            2025-002 | deck board | board | 9                   | 9
        """,
        job_material="""
            job_ref  | material   | layer_count
            ---------+------------+------------
            2025-001 | deck board |
            2025-001 | mat 450    | 2
            2025-001 | resin      |
            2025-002 | deck board |
        """,
        materials="""
            material   | length_mm | width_mm | cover_width_mm | lap_mm
            -----------+-----------+----------+----------------+-------
            deck board | 2400      | 600      | 590            |
            mat 450    |           | 1000     |                | 50
            resin      |           |          |                |
        """,
    )

    assert_drawn(
        roofs,
        """
        job_ref  | material   | stage  | kind  | net_quantity | area_m2 | layer_count | length_mm | width_mm | cover_width_mm | stagger_mm
        ---------+------------+--------+-------+--------------+---------+-------------+-----------+----------+----------------+-----------
        2025-001 | deck board | fitted | board | 13           | 13      |             | 2400      | 600      | 590            | 400
        2025-001 | deck board | quoted | board | 12           | 12      |             | 2400      | 600      | 590            | 400
        2025-001 | mat 450    | quoted | mat   | 24           | 12      | 2           |           | 1000     |                | 400
        2025-002 | deck board | quoted | board | 9            | 9       |             | 2400      | 600      | 590            | 400
        """,
    )
