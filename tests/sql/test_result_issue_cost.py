from tests.support.drawn import assert_drawn


def test_what_no_lot_covers_is_priced_and_says_how(relation):
    costs = relation(
        "result.issue_cost",
        stock_out="""
            material | out_no | flow | job_ref  | out_on     | quantity | moves_stock
            ---------+--------+------+----------+------------+----------+------------
            resin    | 1      | job  | 2026-001 | 2026-03-02 | 7        | false
            resin    | 2      | job  | 2026-002 | 2026-04-02 | 20       | true
            resin    | 3      | loss |          | 2026-05-20 | 10       | true
            mat      | 1      | job  | 2026-001 | 2026-03-02 | 10       | false
            nails    | 1      | job  | 2026-002 | 2026-04-02 | 100      | true
            glue     | 1      | job  | 2026-002 | 2026-04-02 | 3        | true
        """,
        landed_line="""
            material | received_on | quantity | cost_pence
            ---------+-------------+----------+-----------
            resin    | 2026-02-02  | 20       | 5000
            resin    | 2026-03-02  | 20       | 6000
            resin    | 2026-03-02  | 10       | 3100
            resin    | 2026-03-03  | 20       | 9900
            mat      | 2026-03-03  | 60       | 9000
        """,
        lot="""
            material | lot_no | received_on
            ---------+--------+------------
            resin    | 1      | 2026-04-01
            resin    | 2      | 2026-04-09
        """,
        fifo_issue="""
            material | out_no | lot_no | quantity | cost_pence | delivery_pence | is_early
            ---------+--------+--------+----------+------------+----------------+---------
            resin    | 2      | 1      | 15       | 4501       | 203            | false
            resin    | 2      | 2      | 5        | 1600       | 0              | true
            resin    | 3      | 2      | 4        | 1280       | 0              | false
        """,
        average_issue="""
            material | out_no | quantity | cost_pence | is_early
            ---------+--------+----------+------------+---------
            nails    | 1      | 60       | 90         | false
            nails    | 1      | 40       | 66         | true
        """,
        price_step="""
            material | from_on    | price_gbp | how
            ---------+------------+-----------+-----------------
            resin    | 1900-01-01 | 2.5       | first paid after
            resin    | 2026-05-20 | 3.3325    | list
            mat      | 1900-01-01 | 1.5       | first paid after
        """,
    )

    # resin before the count: 7 of 30 kg at 9100 pence = 2123.3; the 6 kg beyond all lots 19.995
    assert_drawn(
        costs,
        """
        material | out_no | flow | job_ref  | lot_no | received_on | quantity | cost_gbp | delivery_gbp | how
        ---------+--------+------+----------+--------+-------------+----------+----------+--------------+-----------------
        resin    | 1      | job  | 2026-001 |        |             | 7        | 21.23    | 0            | last paid
        resin    | 2      | job  | 2026-002 | 1      | 2026-04-01  | 15       | 45.01    | 2.03         | fifo
        resin    | 2      | job  | 2026-002 | 2      | 2026-04-09  | 5        | 16.00    | 0            | next receipt
        resin    | 3      | loss |          | 2      | 2026-04-09  | 4        | 12.80    | 0            | fifo
        resin    | 3      | loss |          |        |             | 6        | 20.00    | 0            | list
        mat      | 1      | job  | 2026-001 |        |             | 10       | 15.00    | 0            | first paid after
        nails    | 1      | job  | 2026-002 |        |             | 60       | 0.90     |              | average
        nails    | 1      | job  | 2026-002 |        |             | 40       | 0.66     |              | next receipt
        glue     | 1      | job  | 2026-002 |        |             | 3        |          | 0            | no price
        """,
    )


def test_what_no_paper_brought_in_and_a_count_found_says_so(relation):
    costs = relation(
        "result.issue_cost",
        stock_out="""
            material | out_no | flow  | job_ref  | out_on     | quantity | moves_stock
            ---------+--------+-------+----------+------------+----------+------------
            resin    | 1      | job   | 2026-001 | 2026-04-30 | 7        | true
            resin    | 2      | job   | 2026-002 | 2026-05-02 | 3        | true
            resin    | 3      | count |          | 2026-05-31 | 1        | true
            glue     | 1      | job   | 2026-001 | 2026-04-30 | 2        | true
        """,
        lot="""
            material | lot_no | received_on | how
            ---------+--------+-------------+-------
            resin    | 1      | 2026-04-30  | found
        """,
        fifo_issue="""
            material | out_no | lot_no | quantity | cost_pence | is_early
            ---------+--------+--------+----------+------------+---------
            resin    | 1      | 1      | 7        | 2100       | false
            resin    | 2      | 1      | 3        | 900        | false
            resin    | 3      | 1      | 1        | 300        | false
        """,
    )

    assert_drawn(
        costs,
        """
        material | out_no | flow  | lot_no | quantity | cost_gbp | how         | is_from_stock
        ---------+--------+-------+--------+----------+----------+-------------+--------------
        resin    | 1      | job   | 1      | 7        | 21.00    | found later | true
        resin    | 2      | job   | 1      | 3        | 9.00     | fifo        | true
        resin    | 3      | count | 1      | 1        | 3.00     | fifo        | true
        glue     | 1      | job   |        | 2        |          | no price    | false
        """,
    )
