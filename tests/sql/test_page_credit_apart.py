from tests.support.drawn import assert_drawn


def test_a_credit_of_the_year_that_lowers_no_delivery_stands_as_money_back(relation):
    back = relation(
        "page.credit_apart",
        own_line="""
            supplier | document_type | document_no | line_rank | line_kind | material | received_on | net_pence | why
            ---------+---------------+-------------+-----------+-----------+----------+-------------+-----------+--------------------------
            merchant | credit        | 8           | 1         | goods     | resin    | 2026-05-20  | -1250     | credit that lowers no lot
            merchant | credit        | 7           | 1         | goods     | mat      | 2025-06-01  | -900      | credit that lowers no lot
            merchant | credit        | 6           | 1         | goods     | mat      | 2025-05-31  | -900      | credit that lowers no lot
            merchant | credit        | 9           | 1         | carriage  |          | 2026-05-20  | -300      | no goods
            merchant | invoice       | 5           | 1         | goods     | resin    | 2026-05-20  | 700       | went back whole
        """,
    )

    assert_drawn(
        back,
        """
        supplier | document_no | credited_on | material | credit_gbp
        ---------+-------------+-------------+----------+-----------
        merchant | 7           | 2025-06-01  | mat      | 9.00
        merchant | 8           | 2026-05-20  | resin    | 12.50
        """,
    )
