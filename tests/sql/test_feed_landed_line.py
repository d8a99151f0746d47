import pytest

from tests.support.drawn import assert_drawn

LINES = """
    supplier | document_type | document_no | year | line_rank | line_kind | material | quantity | net_pence
    ---------+---------------+-------------+------+-----------+-----------+----------+----------+----------
    Quayside | invoice       | 1001        | 2026 | 1         | goods     | resin    | 40       | 100
    Quayside | invoice       | 1001        | 2026 | 2         | goods     | mat      | 60       | 100
    Quayside | invoice       | 1001        | 2026 | 3         | goods     | topcoat  | 10       | 100
    Quayside | invoice       | 1001        | 2026 | 4         | carriage  |          |          | 200
    Quayside | invoice       | 1002        | 2026 | 1         | goods     | resin    | 20       | 1000
    Quayside | invoice       | 1002        | 2026 | 2         | goods     | mat      | 60       | 2000
    Quayside | invoice       | 1002        | 2026 | 3         | discount  |          |          | -100
    Quayside | invoice       | 1002        | 2026 | 4         | hire      |          |          | 5000
    Quayside | invoice       | 1003        | 2026 | 1         | goods     | resin    | 20       | 0
    Quayside | invoice       | 1003        | 2026 | 2         | carriage  |          |          | 1500
    Quayside | invoice       | 1004        | 2026 | 1         | goods     | resin    |          | 700
    Quayside | credit        | 1005        | 2026 | 1         | goods     | resin    | -20      | -1000
"""


def test_carriage_and_discounts_are_shared_by_value_the_odd_pennies_by_largest_remainder(relation):
    landed = relation("feed.landed_line", purchase_line=LINES, firm="carriage\n--------\nlanded")

    # 200 / 3 = 66 2/3: 66 each and two odd pennies, to the first lines; -100 x 1/3 = -33 1/3 and
    # -66 2/3: the odd penny to the larger remainder; 1003 has no goods of value to bear carriage
    assert_drawn(
        landed,
        """
        document_no | line_rank | landed_pence | delivery_pence | cost_pence
        ------------+-----------+--------------+----------------+-----------
        1001        | 1         | 67           | 67             | 167
        1001        | 2         | 67           | 66             | 167
        1001        | 3         | 66           | 67             | 166
        1002        | 1         | -33          | 0              | 967
        1002        | 2         | -67          | 0              | 1933
        1003        | 1         | 0            | 0              | 0
        """,
    )


def test_carriage_stays_on_its_own_line_where_the_settings_say_so(relation):
    landed = relation("feed.landed_line", purchase_line=LINES, firm="carriage\n--------\nown line")

    assert_drawn(
        landed,
        """
        document_no | line_rank | landed_pence
        ------------+-----------+-------------
        1001        | 1         | 0
        1001        | 2         | 0
        1001        | 3         | 0
        1002        | 1         | -33
        1002        | 2         | -67
        1003        | 1         | 0
        """,
    )


@pytest.mark.parametrize(("discount", "landed_pence"), [(-1000, -1000), (-1001, 0)])
def test_a_discount_beyond_the_goods_is_not_shared(relation, discount, landed_pence):
    landed = relation(
        "feed.landed_line",
        purchase_line=f"""
            supplier | document_type | document_no | year | line_rank | line_kind | material | quantity | net_pence
            ---------+---------------+-------------+------+-----------+-----------+----------+----------+----------
            Quayside | invoice       | 1001        | 2026 | 1         | goods     | resin    | 40       | 1000
            Quayside | invoice       | 1001        | 2026 | 2         | discount  |          |          | {discount}
        """,
    )

    assert landed["landed_pence"].to_list() == [landed_pence]
