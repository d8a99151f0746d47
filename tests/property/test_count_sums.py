"""What must hold of counts and movements, whatever they are."""

from datetime import date, timedelta
from decimal import Decimal

import duckdb
from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.warehouse.relations import views

FIRST = date(2026, 1, 31)
LEAST_DAYS = 7
TABLES = """
CREATE SCHEMA feed; CREATE SCHEMA stock; CREATE SCHEMA usage; CREATE SCHEMA ledger;
CREATE TABLE feed.count_day (
    material VARCHAR, counted_on DATE, quantity DECIMAL(18, 3), sealed_quantity DECIMAL(18, 3),
    missing_places VARCHAR, variance DOUBLE, sealed_variance DOUBLE
);
CREATE TABLE feed.stock_move (
    material VARCHAR, moved_on DATE, flow VARCHAR, how VARCHAR, quantity DECIMAL(18, 3),
    variance DECIMAL(28, 6)
);
CREATE TABLE feed.issue_habit (material VARCHAR, is_whole_packs BOOLEAN);
CREATE TABLE usage.net_quantity (
    job_ref VARCHAR, material VARCHAR, quoted_net_quantity DECIMAL, fitted_net_quantity DECIMAL
);
CREATE TABLE usage.job_quantity (job_ref VARCHAR, material VARCHAR, drawn_quantity DECIMAL);
CREATE TABLE ledger.jobs (job_ref VARCHAR, status VARCHAR, completed_on DATE);
CREATE TABLE ledger.materials AS SELECT 'resin' AS material, 'kg' AS base_unit;
CREATE TABLE stock.price_step (
    material VARCHAR, from_on DATE, until_on DATE, price_gbp DECIMAL(20, 12)
);
"""

thousandths = st.integers(0, 500_000).map(lambda amount: Decimal(amount).scaleb(-3))
counts = st.lists(thousandths, min_size=3, max_size=8)
flows = st.sampled_from([("bought", 1), ("issued", -1), ("returned", 1), ("lost", -1)])
moves = st.lists(st.tuples(st.integers(1, 7 * LEAST_DAYS), flows, thousandths), max_size=12)


def _differences(counted, moved):
    """Return the difference of every span: counts a week apart, movements on a day from FIRST."""
    count_rows = [
        ("resin", FIRST + timedelta(LEAST_DAYS * at), quantity, quantity, None, 1.0, 1.0)
        for at, quantity in enumerate(counted)
    ]
    move_rows = [
        ("resin", FIRST + timedelta(days), flow, "weighed", sign * quantity, Decimal(0))
        for days, (flow, sign), quantity in moved
    ]
    with duckdb.connect() as connection:
        connection.execute(TABLES)
        connection.executemany(
            "INSERT INTO feed.count_day VALUES (?, ?, ?, ?, ?, ?, ?)", count_rows
        )
        if move_rows:
            connection.executemany(
                "INSERT INTO feed.stock_move VALUES (?, ?, ?, ?, ?, ?)", move_rows
            )
        select = views()["stock.count_interval"].select
        rows = connection.sql(select).pl().sort("to_on")
    return rows["difference_quantity"].to_list()


@given(counts, moves)
@settings(max_examples=12, deadline=None)
def test_all_spans_together_are_opening_and_movements_less_closing(counted, moved):
    last = LEAST_DAYS * (len(counted) - 1)
    inside = sum(sign * quantity for days, (_, sign), quantity in moved if days <= last)

    assert sum(_differences(counted, moved)) == counted[0] + inside - counted[-1]


@given(counts, moves, thousandths, st.data())
@settings(max_examples=12, deadline=None)
def test_a_delivery_moved_across_a_count_changes_two_spans_by_opposite_amounts(
    counted, moved, delivered, data
):
    at = data.draw(st.integers(1, len(counted) - 2))
    on_count_day, day_after = LEAST_DAYS * at, LEAST_DAYS * at + 1

    before = _differences(counted, [*moved, (on_count_day, ("bought", 1), delivered)])
    after = _differences(counted, [*moved, (day_after, ("bought", 1), delivered)])

    changes = [b - a for a, b in zip(before, after, strict=True)]
    wanted = [Decimal(0)] * len(changes)
    wanted[at - 1], wanted[at] = -delivered, delivered
    assert changes == wanted
