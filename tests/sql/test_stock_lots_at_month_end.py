from tests.support.drawn import assert_drawn

MATERIALS = """
    material | costing
    ---------+--------
    resin    | fifo
    nails    | average
    glue     |
"""


def test_lots_are_worth_what_came_in_less_what_was_taken_by_then(relation):
    worth = relation(
        "stock.lots_at_month_end",
        materials=MATERIALS,
        lot="""
            material | lot_no | received_on | quantity | cost_pence
            ---------+--------+-------------+----------+-----------
            resin    | 1      | 2026-03-31  | 10       | 1001
            resin    | 2      | 2026-04-30  | 20       | 3000
            resin    | 3      | 2026-06-01  | 20       | 4000
            nails    | 1      | 2026-05-02  | 100      | 90
            glue     | 1      | 2026-05-02  | 1        |
        """,
        stock_out="""
            material | out_no | out_on     | quantity | moves_stock
            ---------+--------+------------+----------+------------
            resin    | 1      | 2026-03-02 | 9        | false
            resin    | 2      | 2026-04-10 | 3        | true
            resin    | 3      | 2026-05-31 | 31       | true
            resin    | 4      | 2026-06-01 | 90       | true
            nails    | 1      | 2026-05-10 | 40       | true
            nails    | 2      | 2026-06-01 | 10       | true
        """,
        average_issue="""
            material | out_no | quantity | cost_pence
            ---------+--------+----------+-----------
            nails    | 1      | 40       | 36
            nails    | 2      | 10       | 9
        """,
    )

    # resin: 3 of 10 for 1001 are 300.3; by May 34 are taken, 4 of them (800 pence) of a lot that
    # comes in June: 1001 + 3000 - 4801; in June all that ever came is gone
    assert_drawn(
        worth,
        """
        material | month_on   | left_pence
        ---------+------------+-----------
        resin    | 2026-03-01 | 1001
        resin    | 2026-04-01 | 3701
        resin    | 2026-05-01 | -800
        resin    | 2026-06-01 | 0
        nails    | 2026-05-01 | 54
        nails    | 2026-06-01 | 45
        glue     | 2026-05-01 |
        glue     | 2026-06-01 |
        """,
    )
