from tests.support.drawn import assert_drawn


def test_a_job_takes_what_it_did_not_bring_back_and_returns_come_off_the_last(relation):
    out = relation(
        "feed.booked_out",
        jobs="""
            job_ref  | completed_on
            ---------+-------------
            2026-001 | 2026-05-08
            2026-002 |
            2026-003 | 2026-04-08
            2026-004 | 2026-06-08
        """,
        job_materials="""
            job_ref  | material | entry | issued_quantity | returned_quantity | issued_on
            ---------+----------+-------+-----------------+-------------------+-----------
            2026-001 | resin    | 1     | 20              |                   | 2026-05-04
            2026-001 | resin    | 2     | 10              |                   |
            2026-001 | resin    | 3     |                 | 12                |
            2026-001 | mat      | 1     | 5               | 5                 |
            2026-002 | resin    | 1     | 20              |                   |
            2026-002 | mat      | 1     | 7               |                   | 2026-05-05
            2026-003 | mat      | 1     | 9               | 0                 |
            2026-004 | mat      | 1     | 9               | 0                 |
        """,
        first_count="""
            material | counted_on | quantity
            ---------+------------+---------
            mat      | 2026-04-08 | 60
        """,
        losses="""
            material | job_ref  | entry | lost_on    | quantity
            ---------+----------+-------+------------+---------
            mat      |          | 1     | 2026-05-05 | 1.5
            mat      | 2026-001 | 1     | 2026-05-05 | 2.5
        """,
    )

    # 30 issued, 12 back: 18 kept, all of it from the first load
    assert_drawn(
        out,
        """
        material | flow | job_ref  | out_on     | quantity | moves_stock
        ---------+------+----------+------------+----------+------------
        resin    | job  | 2026-001 | 2026-05-04 | 18       | true
        mat      | job  | 2026-003 | 2026-04-08 | 9        | false
        mat      | job  | 2026-002 | 2026-05-05 | 7        | true
        mat      | loss |          | 2026-05-05 | 1.5      | true
        """,
    )


def test_goods_that_went_back_leave_the_stock_where_they_lower_no_lot_in_it(relation):
    out = relation(
        "feed.booked_out",
        first_count="""
            material | counted_on | quantity
            ---------+------------+---------
            mat      | 2026-04-08 | 60
        """,
        landed_line="""
            supplier | document_no | year | line_rank | material | received_on
            ---------+-------------+------+-----------+----------+------------
            Quayside | 1001        | 2026 | 1         | resin    | 2026-04-02
            Quayside | 1001        | 2026 | 2         | mat      | 2026-04-02
        """,
        lot_credit="""
            supplier | credit_document_no | credit_year | credit_line_rank | document_no | year | line_rank
            ---------+--------------------+-------------+------------------+-------------+------+----------
            Quayside | 2001               | 2026        | 1                | 1001        | 2026 | 1
            Quayside | 2002               | 2026        | 1                | 1001        | 2026 | 2
        """,
        purchase_line="""
            supplier | document_type | document_no | year | line_rank | line_kind | material | received_on | quantity
            ---------+---------------+-------------+------+-----------+-----------+----------+-------------+---------
            Quayside | credit        | 2001        | 2026 | 1         | goods     | resin    | 2026-05-01  | -20
            Quayside | credit        | 2002        | 2026 | 1         | goods     | mat      | 2026-05-01  | -60
            Quayside | credit        | 2003        | 2026 | 1         | goods     | resin    | 2026-05-02  | -5
            Quayside | credit        | 2004        | 2026 | 1         | goods     | resin    | 2026-05-02  |
        """,
    )

    assert_drawn(
        out,
        """
        material | flow        | out_on     | quantity | moves_stock
        ---------+-------------+------------+----------+------------
        mat      | to supplier | 2026-05-01 | 60       | true
        resin    | to supplier | 2026-05-02 | 5        | true
        """,
    )
