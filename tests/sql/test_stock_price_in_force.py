from tests.support.drawn import assert_drawn


def test_the_step_that_holds_on_the_day_of_the_run(relation):
    price = relation(
        "stock.price_in_force",
        materials="""
            material | base_unit
            ---------+----------
            resin    | kg
        """,
        supplier_asked="""
            material | supplier | pack_size
            ---------+----------+----------
            resin    | Quayside | 20
        """,
        price_step="""
            material | from_on    | until_on   | price_gbp | pack_size | how
            ---------+------------+------------+-----------+-----------+-----
            resin    | 2025-01-01 | 2026-06-01 | 3.0       | 20        | list
            resin    | 2026-06-01 | 2026-07-01 | 3.2       | 20        | list
            resin    | 2026-07-01 | 9999-12-31 | 3.4       | 20        | list
        """,
    )

    assert_drawn(
        price,
        """
        material | base_unit | supplier | price_gbp | from_on    | how
        ---------+-----------+----------+-----------+------------+-----
        resin    | kg        | Quayside | 3.2       | 2026-06-01 | list
        """,
    )
