from tests.support.drawn import assert_drawn


def test_lines_of_a_material_add_up(relation):
    compared = relation(
        "page.allowed_and_used",
        taken_lately="""
            job_ref  | material | kind  | base_unit | allowed_quantity | used_quantity | difference_quantity | difference_gbp
            ---------+----------+-------+-----------+------------------+---------------+---------------------+---------------
            2026-001 | resin    | resin | kg        | 15               | 17            | 2                   | 6.20
            2026-002 | resin    | resin | kg        | 30               | 29.5          | -0.5                | -1.55
            2026-001 | mat      | mat   | m2        | 10               | 11            | 1                   |
        """,
    )

    assert_drawn(
        compared,
        """
        material | job_count | allowed_quantity | used_quantity | difference_quantity | difference_gbp
        ---------+-----------+------------------+---------------+---------------------+---------------
        mat      | 1         | 10               | 11            | 1                   |
        resin    | 2         | 45               | 46.5          | 1.5                 | 4.65
        """,
    )
