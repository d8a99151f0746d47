from tests.support.drawn import assert_drawn


def test_the_usual_supplier_else_the_last_one(relation):
    asked = relation(
        "stock.supplier_asked",
        materials="""
            material | pack_size
            ---------+----------
            resin    | 20
            mat      |
            nails    |
        """,
        supplier_for="""
            material | supplier
            ---------+---------
            resin    | Quayside
        """,
        bought_line="""
            material | supplier | bought_on  | document_no | pack_size
            ---------+----------+------------+-------------+----------
            resin    | Hilltop  | 2026-05-01 | 1           | 25
            mat      | Hilltop  | 2026-03-01 | 2           | 75
            mat      | Quayside | 2026-04-01 | 3           | 80
        """,
    )

    assert_drawn(
        asked,
        """
        material | supplier | pack_size
        ---------+----------+----------
        mat      | Quayside | 80
        resin    | Quayside | 20
        """,
    )
