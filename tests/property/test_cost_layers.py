"""What must hold of lots and issues, whatever came in and went out."""

from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from random import Random

import polars as pl
from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.costing.moving_average import Lot, Movement, average_issues
from pipelines.warehouse.relations import views
from tests.support.stock_ledgers import Line, open_ledger

quantities = st.integers(1, 400_000).map(lambda thousandths: Decimal(thousandths).scaleb(-3))
ledger_lines = st.builds(
    Line,
    st.integers(0, 30),
    quantities,
    st.one_of(st.none(), st.integers(0, 500_000)),
    st.sampled_from(["resin", "mat"]),
)
ledgers = st.lists(ledger_lines, min_size=1, max_size=14).map(
    lambda lines: sorted(lines, key=lambda line: (line.day, line.pence is None))
)


def _first_in_first_out(lines: Sequence[Line]) -> pl.DataFrame:
    with open_ledger(lines) as connection:
        rows: pl.DataFrame = connection.sql(views()["result.fifo_issue"].select).pl()
    return rows.sort("material", "out_no", "lot_no")


def _by_hand(lines: Sequence[Line]) -> list[tuple[str, int, int, Decimal, Fraction]]:
    """Walk the lots one by one: material, movement, lot, quantity and exact pence."""
    layers = {
        no: [line.material, line.quantity, Fraction(line.pence) / Fraction(line.quantity)]
        for no, line in enumerate(lines, 1)
        if line.pence is not None
    }
    found = []
    for out_no, line in enumerate(lines, 1):
        wanted = line.quantity if line.pence is None else Decimal(0)
        for lot_no, layer in layers.items():
            part = min(wanted, layer[1]) if layer[0] == line.material else Decimal(0)
            if part:
                layer[1] -= part
                wanted -= part
                found.append((line.material, out_no, lot_no, part, Fraction(part) * layer[2]))
    return sorted(found)


@settings(max_examples=60, deadline=None)
@given(ledgers)
def test_lots_are_used_in_the_order_in_which_they_came(lines):
    rows = _first_in_first_out(lines)
    by_hand = _by_hand(lines)

    assert rows.select("material", "out_no", "lot_no", "quantity").rows() == [
        row[:4] for row in by_hand
    ]
    assert all(
        abs(pence - row[4]) < 1 for pence, row in zip(rows["cost_pence"], by_hand, strict=True)
    )


@settings(max_examples=40, deadline=None)
@given(ledgers)
def test_a_lot_used_up_has_given_all_its_pence_and_no_lot_more_than_it_had(lines):
    lots = {no: line for no, line in enumerate(lines, 1) if line.pence is not None}
    given_out = (
        _first_in_first_out(lines).group_by("lot_no").agg(pl.col("quantity", "cost_pence").sum())
    )

    for lot_no, quantity, pence in given_out.rows():
        lot = lots[lot_no]
        exact = Fraction(lot.pence) * Fraction(quantity) / Fraction(lot.quantity)
        assert quantity <= lot.quantity
        assert abs(pence - exact) <= Fraction(1, 2)
        if quantity == lot.quantity:
            assert pence == lot.pence


@settings(max_examples=25, deadline=None)
@given(ledgers, st.integers(0, 1000))
def test_the_order_of_the_rows_changes_nothing(lines, seed):
    with open_ledger(lines) as connection:
        select = views()["result.fifo_issue"].select
        rows = connection.sql(select).pl()
        for table in ("result.lot", "feed.stock_out"):
            shuffled = connection.sql(f"FROM {table}").fetchall()
            Random(seed).shuffle(shuffled)  # noqa: S311 - an order to try, no secret
            connection.execute(f"DELETE FROM {table}")  # noqa: S608 - own names
            for row in shuffled:
                marks = ", ".join("?" * len(row))
                connection.execute(f"INSERT INTO {table} VALUES ({marks})", row)  # noqa: S608
        again = connection.sql(select).pl()

    assert again.sort(again.columns).equals(rows.sort(rows.columns))


@settings(max_examples=25, deadline=None)
@given(ledgers)
def test_a_hundredfold_price_is_a_hundredfold_cost_to_the_rounding(lines):
    dearer = [
        Line(
            line.day, line.quantity, None if line.pence is None else line.pence * 100, line.material
        )
        for line in lines
    ]
    once, hundred = _first_in_first_out(lines), _first_in_first_out(dearer)

    assert all(
        abs(100 * one - other) <= 101  # a part is a difference of two roundings
        for one, other in zip(once["cost_pence"], hundred["cost_pence"], strict=True)
    )


@settings(max_examples=100, deadline=None)
@given(ledgers)
def test_a_moving_average_comes_to_what_came_in(lines):
    lots = [Lot(line.on, line.quantity, line.pence) for line in lines if line.pence is not None]
    movements = [
        Movement(no, line.on, line.quantity) for no, line in enumerate(lines) if line.pence is None
    ]
    issues, left, left_pence = average_issues(lots, movements)

    assert sum(issue.cost_pence for issue in issues) + left_pence == sum(
        lot.cost_pence for lot in lots
    )
    assert sum(issue.quantity for issue in issues) + left == sum(lot.quantity for lot in lots)


@settings(max_examples=50, deadline=None)
@given(ledgers)
def test_stock_that_never_empties_costs_between_its_dearest_and_cheapest_lot(lines):
    lots = [Lot(line.on, line.quantity, line.pence) for line in lines if line.pence is not None]
    movements = [
        Movement(no, line.on, line.quantity) for no, line in enumerate(lines) if line.pence is None
    ]
    prices = [Fraction(lot.cost_pence) / Fraction(lot.quantity) for lot in lots]
    issues, _, _ = average_issues(lots, movements)

    for issue in issues:
        size = Fraction(issue.quantity)
        slack = 1 + len(issues)
        assert min(prices) * size - slack <= issue.cost_pence <= max(prices) * size + slack
