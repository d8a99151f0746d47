from tests.support.drawn import assert_drawn


def test_what_stands_in_no_lot_says_why(relation):
    own = relation(
        "feed.own_line",
        firm="carriage\n--------\nlanded",
        first_count="""
            material | counted_on
            ---------+-----------
            mat      | 2026-03-31
        """,
        landed_line="""
            supplier | document_no | year | line_rank | material | received_on | quantity | landed_pence | cost_pence
            ---------+-------------+------+-----------+----------+-------------+----------+--------------+-----------
            Quayside | 1001        | 2026 | 1         | resin    | 2026-03-02  | 20       | 500          | 6500
            Quayside | 1001        | 2026 | 2         | mat      | 2026-03-31  | 60       | 700          | 9700
            Quayside | 1002        | 2026 | 1         | resin    | 2026-04-02  | 20       | 0            | 6000
        """,
        lot_credit="""
            supplier | credit_document_no | credit_year | credit_line_rank | document_no | year | line_rank | credit_pence | back_quantity
            ---------+--------------------+-------------+------------------+-------------+------+-----------+--------------+--------------
            Quayside | 2001               | 2026        | 1                | 1002        | 2026 | 1         | 5900         | 20
        """,
        purchase_line="""
            supplier | document_type | document_no | year | line_rank | line_kind | material | quantity | net_pence
            ---------+---------------+-------------+------+-----------+-----------+----------+----------+----------
            Quayside | invoice       | 1001        | 2026 | 1         | goods     | resin    | 20       | 6000
            Quayside | invoice       | 1001        | 2026 | 2         | goods     | mat      | 60       | 9000
            Quayside | invoice       | 1001        | 2026 | 3         | carriage  |          |          | 1200
            Quayside | invoice       | 1001        | 2026 | 4         | deposit   |          |          | 3000
            Quayside | invoice       | 1002        | 2026 | 1         | goods     | resin    | 20       | 6000
            Quayside | credit        | 2001        | 2026 | 1         | goods     | resin    | -20      | -5900
            Quayside | credit        | 2002        | 2026 | 1         | goods     | resin    | -20      | -800
            Quayside | invoice       | 1003        | 2026 | 1         | goods     | resin    |          | 400
            Quayside | invoice       | 1003        | 2026 | 2         | carriage  |          |          | 1500
        """,
    )

    # the £1 that the supplier kept of goods that all went back is in no stock
    assert_drawn(
        own,
        """
        document_no | line_kind | net_pence | why
        ------------+-----------+-----------+------------------------
        1001        | goods     | 9700      | before the first count
        1001        | deposit   | 3000      | no goods
        1002        | goods     | 100       | went back whole
        2002        | goods     | -800      | credit that lowers no lot
        1003        | goods     | 400       | goods without a quantity or below nothing
        1003        | carriage  | 1500      | no goods
        """,
    )
