from tests.support.drawn import assert_drawn

FIRST = """
    material | counted_on | quantity
    ---------+------------+---------
    resin    | 2026-03-31 | 50
    nails    | 2026-03-31 | 4000
"""
DAYS = """
    material | counted_on | lots_quantity | lots_sealed_quantity | missing_places
    ---------+------------+---------------+----------------------+---------------
    resin    | 2026-03-31 | 50            | 40                   |
    resin    | 2026-04-15 | 10            | 10                   | van
    resin    | 2026-04-30 | 30            | 20                   |
    resin    | 2026-05-31 | 26            | 20                   |
    nails    | 2026-03-31 | 4200          | 4000                 |
    nails    | 2026-04-30 | 3700          | 3000                 |
"""
HABITS = """
    material | is_whole_packs
    ---------+---------------
    resin    | false
    nails    | true
"""


def test_differences_bring_the_lots_to_what_was_counted(relation):
    found = relation(
        "feed.count_difference",
        first_count=FIRST,
        count_day=DAYS,
        issue_habit=HABITS,
        landed_line="""
            supplier | document_no | year | line_rank | material | received_on | quantity
            ---------+-------------+------+-----------+----------+-------------+---------
            Quayside | 1000        | 2026 | 1         | resin    | 2026-03-31  | 100
            Quayside | 1001        | 2026 | 1         | resin    | 2026-04-30  | 60
        """,
        booked_out="""
            material | out_on     | quantity | moves_stock
            ---------+------------+----------+------------
            resin    | 2026-03-31 | 9        | false
            resin    | 2026-04-10 | 58       | true
            resin    | 2026-04-30 | 19       | true
            nails    | 2026-04-20 | 1000     | true
        """,
    )

    # resin: 50 + 60 - 58 - 19 = 33, 30 stood there; the count of the 15th left out the van; then
    # 30 should still be there and 26 were. Nails: 4000 - 1000 sealed, and 3000 sealed were there
    assert_drawn(
        found,
        """
        material | counted_on | lots_quantity | difference_quantity
        ---------+------------+---------------+--------------------
        resin    | 2026-04-30 | 30            | 3
        resin    | 2026-05-31 | 26            | 4
        nails    | 2026-04-30 | 3000          | 0
        """,
    )


def test_goods_that_go_back_after_a_count_are_counted_and_in_no_lot(relation):
    found = relation(
        "feed.count_difference",
        first_count=FIRST,
        count_day=DAYS,
        issue_habit=HABITS,
        landed_line="""
            supplier | document_no | year | line_rank | material | received_on | quantity
            ---------+-------------+------+-----------+----------+-------------+---------
            Quayside | 1001        | 2026 | 1         | resin    | 2026-04-20  | 60
        """,
        lot_credit="""
            supplier | credited_on | document_no | year | line_rank | material | back_quantity
            ---------+-------------+-------------+------+-----------+----------+--------------
            Quayside | 2026-05-10  | 1001        | 2026 | 1         | resin    | 20
        """,
        booked_out="""
            material | out_on     | quantity | moves_stock
            ---------+------------+----------+------------
            resin    | 2026-04-25 | 80       | true
        """,
    )

    # the lots hold 50 + 40 - 80 = 10, and 30 stand there, 20 of which go back: nothing is missing;
    # then 10 should be left, and 26 are: 16 more than the papers say. Of nails 1000 are missing
    assert_drawn(
        found,
        """
        material | counted_on | lots_quantity | difference_quantity
        ---------+------------+---------------+--------------------
        resin    | 2026-04-30 | 10            | 0
        resin    | 2026-05-31 | 26            | -16
        nails    | 2026-04-30 | 3000          | 1000
        """,
    )
