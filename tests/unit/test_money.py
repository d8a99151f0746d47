"""Money is rounded in Python as in the warehouse."""

from decimal import Decimal

from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.quantities import round_money
from pipelines.warehouse.connection import open_in_memory


@given(values=st.lists(st.decimals(-99_999, 99_999, places=5), min_size=1, max_size=50))
@settings(max_examples=20, deadline=None)
def test_half_a_penny_goes_away_from_nought_in_both(values):
    values = [*values, Decimal("0.005"), Decimal("-0.005"), Decimal("2.675"), Decimal("1.00499")]
    with open_in_memory() as connection:
        rounded = [
            connection.execute(
                "SELECT CAST(CAST(? AS DECIMAL(18, 5)) AS DECIMAL(12, 2))", [str(value)]
            ).fetchone()[0]
            for value in values
        ]

    assert [round_money(value) for value in values] == rounded
