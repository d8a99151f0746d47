from tests.support.drawn import assert_drawn


def test_lots_up_to_sixty_days_off_or_past_with_their_price(relation):
    lots = relation(
        "page.lot_near_date",
        stock_date="""
            material | lot | expires_on | base_unit | quantity | days_left | places
            ---------+-----+------------+-----------+----------+-----------+-------
            resin    | 311 | 2026-05-29 | kg        | 20       | -3        | yard
            resin    | 417 | 2026-07-31 | kg        | 11.5     | 60        | yard
            resin    | 606 | 2026-08-01 | kg        | 40       | 61        | yard
            topcoat  | 311 | 2026-06-01 | kg        | 4        | 0         | van
        """,
        price_in_force="""
            material | price_gbp
            ---------+----------
            resin    | 3.10
        """,
    )

    assert_drawn(
        lots,
        """
        material | lot | days_left | value_gbp
        ---------+-----+-----------+----------
        resin    | 311 | -3        | 62.00
        resin    | 417 | 60        | 35.65
        topcoat  | 311 | 0         |
        """,
    )
