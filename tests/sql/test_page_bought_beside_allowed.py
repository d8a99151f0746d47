from tests.support.drawn import assert_drawn


def test_only_what_the_stock_cannot_explain(relation):
    bought = relation(
        "page.bought_beside_allowed",
        bought_rate="""
            material | base_unit | month_count | bought_quantity | area_m2 | rate | low_rate | high_rate | allowed_rate | rate_label
            ---------+-----------+-------------+-----------------+---------+------+----------+-----------+--------------+----------
            resin    | kg        | 12          | 2040            | 1200    | 1.70 | 1.60     | 1.80      | 1.50         | kg per m2
            mat 450  | m2        | 12          | 1320            | 1200    | 1.10 | 1.00     | 1.20      | 1.12         | m2 per m2
            mat 600  | m2        | 6           | 1080            | 1200    | 0.90 | 0.80     | 1.00      | 1.15         | m2 per m2
            topcoat  | kg        | 12          | 1200            | 1200    | 1.00 | 0.90     | 1.10      | 0.50         | kg per m2
            other    | kg        | 12          | 1200            | 1200    | 1.00 | 0.90     | 1.10      |              | kg per m2
        """,
        materials="""
            material | kind
            ---------+--------
            resin    | resin
            other    | resin
            mat 450  | mat
            mat 600  | mat
            topcoat  | topcoat
        """,
        price_in_force="""
            material | price_gbp
            ---------+----------
            resin    | 3.00
            mat 600  | 2.00
        """,
    )

    # resin: 0.20 x 1200 x 3.00 / 12; mat 600: -0.25 x 1200 x 2.00 / 6
    assert_drawn(
        bought,
        """
        material | rate | allowed_rate | month_gbp
        ---------+------+--------------+----------
        resin    | 1.7  | 1.5          | 60.00
        mat 600  | 0.9  | 1.15         | -100.00
        """,
    )
