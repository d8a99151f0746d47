from tests.support.drawn import assert_drawn


def test_newest_count_of_each_place_within_a_month_of_the_newest_of_all(relation):
    counted = relation(
        "stock.place_count",
        stock_counts="""
            material | place | lot  | entry | counted_on | quantity | expires_on
            ---------+-------+------+-------+------------+----------+-----------
            resin    | yard  | lot7 | 1     | 2026-05-31 | 20       | 2026-08-01
            resin    | yard  | lot7 | 2     | 2026-05-31 | 5.5      |
            resin    | yard  |      | 1     | 2026-04-30 | 99       |
            resin    | van   |      | 1     | 2026-04-30 | 4        |
            resin    | shed  |      | 1     | 2026-04-29 | 7        |
            resin    | yard  | lot7 | 1     | 2026-06-02 | 1        |
        """,
    )

    # the shed was counted 32 days before, the last row lies after the day of the run
    assert_drawn(
        counted,
        """
        place | lot  | counted_on | newest_on  | quantity | expires_on
        ------+------+------------+------------+----------+-----------
        van   |      | 2026-04-30 | 2026-05-31 | 4        |
        yard  | lot7 | 2026-05-31 | 2026-05-31 | 25.5     | 2026-08-01
        """,
    )


def test_what_a_place_no_longer_lists_is_no_longer_there(relation):
    counted = relation(
        "stock.place_count",
        stock_counts="""
            material | place | entry | counted_on | quantity
            ---------+-------+-------+------------+---------
            solvent  | yard  | 1     | 2026-05-31 | 10
            solvent  | van   | 1     | 2026-04-30 | 2.5
            solvent  | shed  | 1     | 2026-05-15 | 5
            resin    | van   | 1     | 2026-05-31 | 4
            primer   | van   | 1     | 2026-05-15 | 3
        """,
    )

    # the van's list of 31 May has no solvent; nobody has looked into the shed since 15 May, and
    # the van's primer is itself the newest count of primer
    assert_drawn(
        counted,
        """
        material | place | counted_on | quantity
        ---------+-------+------------+---------
        primer   | van   | 2026-05-15 | 3
        resin    | van   | 2026-05-31 | 4
        solvent  | shed  | 2026-05-15 | 5
        solvent  | yard  | 2026-05-31 | 10
        """,
    )
