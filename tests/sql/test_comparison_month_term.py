from tests.support.drawn import assert_drawn


def test_each_relation_says_its_own_terms_in_the_month_of_their_day(relation):
    terms = relation(
        "comparison.month_term",
        landed_line="""
            supplier | document_no | year | line_rank | material | received_on | net_pence | landed_pence
            ---------+-------------+------+-----------+----------+-------------+-----------+-------------
            Quayside | 1001        | 2026 | 1         | resin    | 2026-04-30  | 6000      | 401
            Quayside | 1002        | 2026 | 1         | resin    | 2026-03-02  | 5000      | -100
        """,
        lot_credit="""
            supplier | document_no | year | line_rank | material | credited_on | credit_pence
            ---------+-------------+------+-----------+----------+-------------+-------------
            Quayside | 1001        | 2026 | 1         | resin    | 2026-05-10  | 700
        """,
        own_line="""
            material | received_on | net_pence | why
            ---------+-------------+-----------+-----------------------
            resin    | 2026-03-02  | 4900      | before the first count
                     | 2026-04-30  | 1200      | no goods
        """,
        lot="""
            material | received_on | how     | cost_pence
            ---------+-------------+---------+-----------
            resin    | 2026-03-31  | opening | 3000
            resin    | 2026-04-30  | bought  | 5701
            resin    | 2026-04-30  | found   | 90
            glue     | 2026-04-30  | found   |
        """,
        issue_cost="""
            material | flow        | job_ref  | out_on     | cost_gbp | is_from_stock
            ---------+-------------+----------+------------+----------+--------------
            resin    | job         | 2026-001 | 2026-04-05 | 10.00    | true
            resin    | job         | 2026-001 | 2026-04-05 | 2.50     | false
            resin    | loss        |          | 2026-04-06 | 1.00     | true
            resin    | to supplier |          | 2026-05-06 | 4.00     | true
            resin    | count       |          | 2026-04-30 | 3.00     | true
            resin    | count       |          | 2026-05-31 | 5.00     | true
        """,
        count_test="""
            material | to_on      | is_tested
            ---------+------------+----------
            resin    | 2026-04-30 | true
            resin    | 2026-05-31 | false
        """,
        rack_credit="""
            material | moved_on   | cost_pence
            ---------+------------+-----------
            resin    | 2026-04-05 | 250
        """,
        rack_charge="""
            material | moved_on   | fate      | cost_pence | unracked_pence
            ---------+------------+-----------+------------+---------------
            resin    | 2026-05-05 | from_rack | 130        | 30
            resin    | 2026-05-06 | scrapped  | 40         | 0
        """,
    )

    assert_drawn(
        terms,
        """
        month_on   | material | term         | pence
        -----------+----------+--------------+------
        2026-03-01 | resin    | goods        | 5000
        2026-03-01 | resin    | delivery     | -100
        2026-03-01 | resin    | not in stock | 4900
        2026-03-01 | resin    | first count  | 3000
        2026-04-01 | resin    | goods        | 5300
        2026-04-01 | resin    | delivery     | 401
        2026-04-01 |          | own line     | 1200
        2026-04-01 | resin    | found        | 90
        2026-04-01 | glue     | found        |
        2026-04-01 | resin    | jobs         | 1000
        2026-04-01 | resin    | outside      | 250
        2026-04-01 | resin    | losses       | 100
        2026-04-01 | resin    | missing      | 300
        2026-05-01 | resin    | credited     | 700
        2026-05-01 | resin    | returned     | 400
        2026-05-01 | resin    | not booked   | 500
        2026-05-01 | resin    | jobs         | 130
        2026-05-01 | resin    | outside      | 30
        2026-05-01 | resin    | scrapped     | 40
        """,
    )
