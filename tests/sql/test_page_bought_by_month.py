from tests.support.drawn import assert_drawn


def test_six_materials_of_most_money(relation):
    lines = "\n".join(
        f"item {number} | 2026-05-02 | 1 | 10 | {number}0.00" for number in range(1, 8)
    )
    bought = relation(
        "page.bought_by_month",
        materials="\n".join(
            ["material | base_unit", "-", *(f"item {number} | kg" for number in range(1, 8))]
        ),
        bought_line=f"""
            material | bought_on | packs | quantity | line_net_gbp
            -
            {lines}
            item 7 | 2026-05-31 | 2 | 30 | 50.00
            item 7 | 2026-04-30 | 1 | 10 | 20.00
        """,
    )

    assert bought["material"].head(3).to_list() == ["item 7", "item 7", "item 6"]
    # item 1 is the least of seven; item 7 in May: (70 + 50) / (10 + 30)
    assert_drawn(
        bought,
        """
        material | month_on   | packs | quantity | price_gbp
        ---------+------------+-------+----------+----------
        item 2   | 2026-05-01 | 1     | 10       | 2
        item 3   | 2026-05-01 | 1     | 10       | 3
        item 4   | 2026-05-01 | 1     | 10       | 4
        item 5   | 2026-05-01 | 1     | 10       | 5
        item 6   | 2026-05-01 | 1     | 10       | 6
        item 7   | 2026-04-01 | 1     | 10       | 2
        item 7   | 2026-05-01 | 3     | 40       | 3
        """,
    )
