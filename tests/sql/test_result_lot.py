from tests.support.drawn import assert_drawn


def test_lots_start_with_the_first_count_and_are_net_of_credits(relation):
    lots = relation(
        "result.lot",
        first_count="""
            material | counted_on | quantity
            ---------+------------+---------
            resin    | 2026-03-31 | 7.5
            mat      | 2026-03-31 | 10.001
            glue     | 2026-03-31 | 3
            nails    | 2026-03-31 | 0
        """,
        landed_line="""
            material | received_on | supplier | document_no | year | line_rank | quantity | cost_pence | delivery_pence | expires_on
            ---------+-------------+----------+-------------+------+-----------+----------+------------+----------------+-----------
            resin    | 2026-03-02  | Quayside | 1000        | 2026 | 1         | 20       | 6000       | 0              |
            resin    | 2026-03-31  | Quayside | 1001        | 2026 | 1         | 20       | 6401       | 160            |
            resin    | 2026-04-02  | Quayside | 1003        | 2026 | 1         | 40       | 13000      | 0              | 2026-09-30
            resin    | 2026-04-02  | Quayside | 1002        | 2026 | 1         | 20       | 6600       | 100            |
            primer   | 2026-04-02  | Quayside | 1002        | 2026 | 2         | 5        | 4000       | 0              |
            primer   | 2026-04-03  | Quayside | 1004        | 2026 | 1         | 5        | 4000       | 0              |
        """,
        lot_credit="""
            supplier | document_no | year | line_rank | credit_pence | back_quantity
            ---------+-------------+------+-----------+--------------+--------------
            Quayside | 1003        | 2026 | 1         | 3300         | 10
            Quayside | 1003        | 2026 | 1         | 100          | 0
            Quayside | 1002        | 2026 | 2         | 3900         | 5
        """,
        price_step="""
            material | from_on    | until_on   | price_gbp
            ---------+------------+------------+----------
            resin    | 1900-01-01 | 9999-12-31 | 9
            mat      | 1900-01-01 | 2026-04-01 | 1.505
            mat      | 2026-04-01 | 9999-12-31 | 2
        """,
    )

    # resin: 7.5 of 20 kg at 6401 = 2400.4, 60 of it delivery; mat: 10.001 x 1.505 = 15.0515; of glue no price is known
    assert_drawn(
        lots,
        """
        material | lot_no | how     | received_on | document_no | quantity | cost_pence | delivery_pence
        ---------+--------+---------+-------------+-------------+----------+------------+---------------
        resin    | 1      | opening | 2026-03-31  |             | 7.5      | 2400       | 60
        resin    | 2      | bought  | 2026-04-02  | 1002        | 20       | 6600       | 100
        resin    | 3      | bought  | 2026-04-02  | 1003        | 30       | 9600       | 0
        mat      | 1      | opening | 2026-03-31  |             | 10.001   | 1505       | 0
        glue     | 1      | opening | 2026-03-31  |             | 3        |            | 0
        primer   | 1      | bought  | 2026-04-03  | 1004        | 5        | 4000       | 0
        """,
    )


def test_what_a_count_finds_becomes_a_lot_at_the_end_of_its_day(relation):
    lots = relation(
        "result.lot",
        first_count="""
            material | counted_on | quantity
            ---------+------------+---------
            resin    | 2026-03-31 | 10
        """,
        landed_line="""
            material | received_on | supplier | document_no | year | line_rank | quantity | cost_pence
            ---------+-------------+----------+-------------+------+-----------+----------+-----------
            resin    | 2026-04-30  | Quayside | 1001        | 2026 | 1         | 20       | 6401
            resin    | 2026-05-01  | Quayside | 1002        | 2026 | 1         | 20       | 6600
        """,
        count_difference="""
            material | counted_on | difference_quantity
            ---------+------------+--------------------
            resin    | 2026-04-30 | -2.501
            resin    | 2026-05-31 | 3
            glue     | 2026-05-31 | -1
        """,
        price_step="""
            material | from_on    | until_on   | price_gbp
            ---------+------------+------------+----------
            resin    | 1900-01-01 | 2026-04-30 | 9
            resin    | 2026-04-30 | 9999-12-31 | 3.25
        """,
    )

    # 2.501 kg at 3.25 = 8.12825; of glue no price is known
    assert_drawn(
        lots,
        """
        material | lot_no | how     | received_on | document_no | quantity | cost_pence
        ---------+--------+---------+-------------+-------------+----------+-----------
        resin    | 1      | opening | 2026-03-31  |             | 10       | 9000
        resin    | 2      | bought  | 2026-04-30  | 1001        | 20       | 6401
        resin    | 3      | found   | 2026-04-30  |             | 2.501    | 813
        resin    | 4      | bought  | 2026-05-01  | 1002        | 20       | 6600
        glue     | 1      | found   | 2026-05-31  |             | 1        |
        """,
    )
