from tests.support.drawn import assert_drawn

GOODS = """
    supplier | document_no | year | line_rank | line_no | material | document_on | quantity | cost_pence
    ---------+-------------+------+-----------+---------+----------+-------------+----------+-----------
    Quayside | 1001        | 2026 | 1         | 1       | resin    | 2026-03-02  | 20       | 6000
    Quayside | 1001        | 2026 | 2         | 2       | resin    | 2026-03-02  | 40       | 12001
    Quayside | 1001        | 2026 | 3         | 3       | mat      | 2026-03-02  | 60       | 9000
    Quayside | 1001        | 2025 | 1         | 1       | resin    | 2025-03-02  | 20       | 5000
    Quayside | 1002        | 2026 | 1         |         | resin    | 2026-04-02  | 20       | 6000
"""


def test_a_credit_lowers_the_line_that_it_names(relation):
    credits_ = relation(
        "feed.lot_credit",
        landed_line=GOODS,
        purchase_line="""
            supplier | document_type | document_no | year | line_rank | line_kind | material | document_on | quantity | net_pence | credits_document_no | credits_line_no
            ---------+---------------+-------------+------+-----------+-----------+----------+-------------+----------+-----------+---------------------+----------------
            Quayside | credit        | 2001        | 2026 | 1         | goods     | resin    | 2026-05-01  | -30      | -9000     | 1001                |
            Quayside | credit        | 2002        | 2026 | 1         | goods     | resin    | 2026-05-01  |          | -100      | 1001                |
            Quayside | credit        | 2003        | 2026 | 1         | goods     | resin    | 2026-05-01  |          | -50       | 1001                | 1
            Quayside | credit        | 2004        | 2026 | 1         | goods     | mat      | 2026-05-01  | -61      | -1000     | 1001                |
            Quayside | credit        | 2005        | 2026 | 1         | goods     | resin    | 2026-05-01  | -5       | -1000     | 9999                |
            Quayside | credit        | 2006        | 2026 | 1         | goods     | resin    | 2026-05-01  | -5       | -1000     |                     |
            Quayside | credit        | 2007        | 2026 | 1         | goods     | resin    | 2026-05-01  | -15      | -3000     | 1002                |
            Quayside | credit        | 2008        | 2026 | 1         | goods     | resin    | 2026-05-01  |          | -3001     | 1002                |
            Quayside | credit        | 2009        | 2025 | 1         | goods     | resin    | 2025-05-01  | -20      | -5000     | 1001                |
            Hillside | credit        | 2010        | 2026 | 1         | goods     | resin    | 2026-05-01  | -5       | -1000     | 1001                |
        """,
    )

    # 2001: 30 kg fit the second line only; 2002: 100 x 6000 / 18001 = 33.33, the rest to line 2;
    # 2004 sends back more than came, 2007 and 2008 take a penny more than 1002 cost: none lowers
    assert_drawn(
        credits_,
        """
        credit_document_no | document_no | year | line_rank | back_quantity | credit_pence
        -------------------+-------------+------+-----------+---------------+-------------
        2001               | 1001        | 2026 | 2         | 30            | 9000
        2002               | 1001        | 2026 | 1         | 0             | 33
        2002               | 1001        | 2026 | 2         | 0             | 67
        2003               | 1001        | 2026 | 1         | 0             | 50
        2009               | 1001        | 2025 | 1         | 20            | 5000
        """,
    )
