"""What must hold of lots that counts correct, whatever was bought, taken and counted."""

from collections.abc import Sequence
from datetime import date
from decimal import Decimal

import duckdb
from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.warehouse.relations import make_relation
from tests.support.counted_ledgers import Entry, open_counted

RELATIONS = ("feed.count_difference", "feed.stock_out", "result.lot", "result.fifo_issue")
MONTHS = """
    SELECT held.month_on, held.left_pence,
        (
            SELECT coalesce(sum(lot.cost_pence), 0) FROM result.lot AS lot
            WHERE lot.received_on < held.month_on + INTERVAL 1 MONTH
        ) - (
            SELECT coalesce(sum(issue.cost_pence), 0) FROM result.fifo_issue AS issue
            JOIN feed.stock_out AS went USING (out_no)
            WHERE went.out_on < held.month_on + INTERVAL 1 MONTH
        )
    FROM stock.lots_at_month_end AS held
"""
LEFT = """
    SELECT
        sum(quantity) FILTER (WHERE received_on <= $1)
        - coalesce((SELECT sum(quantity) FROM feed.stock_out WHERE out_on <= $1), 0)
    FROM result.lot
"""
PAID = """
    SELECT
        went.job_ref, sum(issue.cost_pence),
        max(lot.received_on) <= any_value(went.out_on)
        AND sum(issue.quantity) = any_value(went.quantity)
    FROM result.fifo_issue AS issue
    JOIN feed.stock_out AS went USING (out_no)
    JOIN result.lot AS lot USING (lot_no)
    WHERE went.flow = 'job' AND went.out_on <= $1
    GROUP BY went.job_ref
"""

quantities = st.integers(1, 90_000).map(lambda thousandths: Decimal(thousandths).scaleb(-3))
entries = st.builds(
    Entry,
    st.integers(1, 100),
    st.sampled_from(["bought", "taken", "taken", "counted"]),
    quantities,
    st.integers(0, 50_000),
)
ledgers = st.lists(entries, min_size=1, max_size=14)


def _work_out(opening: Decimal, lines: Sequence[Entry]) -> duckdb.DuckDBPyConnection:
    connection = open_counted(opening, lines)
    for name in RELATIONS:
        make_relation(connection, name)
    return connection


def _ask(connection: duckdb.DuckDBPyConnection, question: str, *values: date) -> list[tuple]:
    return connection.execute(question, list(values)).fetchall()


@settings(max_examples=25, deadline=None)
@given(quantities, ledgers)
def test_after_a_count_the_lots_hold_what_was_counted(opening, lines):
    with _work_out(opening, lines) as connection:
        counts = _ask(connection, "SELECT counted_on, lots_quantity FROM feed.count_day")

        assert [_ask(connection, LEFT, on) for on, _ in counts] == [[(q,)] for _, q in counts]


@settings(max_examples=25, deadline=None)
@given(quantities, ledgers)
def test_what_came_in_is_what_went_out_and_what_is_left_to_the_penny(opening, lines):
    with _work_out(opening, lines) as connection:
        ((came, quantity),) = _ask(
            connection, "SELECT sum(cost_pence), sum(quantity) FROM result.lot"
        )
        left = _ask(
            connection,
            "SELECT lot.quantity - coalesce(sum(issue.quantity), 0), "
            "lot.cost_pence - coalesce(sum(issue.cost_pence), 0) FROM result.lot AS lot "
            "LEFT JOIN result.fifo_issue AS issue USING (lot_no) "
            "GROUP BY lot.lot_no, lot.quantity, lot.cost_pence",
        )
        gone = _ask(connection, "SELECT sum(cost_pence), sum(quantity) FROM result.fifo_issue")[0]

    assert came == (gone[0] or 0) + sum(pence for _, pence in left)
    assert quantity == (gone[1] or 0) + sum(rest for rest, _ in left)
    assert all(rest >= 0 and pence >= 0 for rest, pence in left)
    assert all(pence == 0 for rest, pence in left if rest == 0)


@settings(max_examples=25, deadline=None)
@given(quantities, ledgers)
def test_the_lots_of_a_month_end_are_what_came_in_less_what_was_taken_by_then(opening, lines):
    with _work_out(opening, lines) as connection:
        make_relation(connection, "stock.lots_at_month_end")
        months = _ask(connection, MONTHS)

    assert len(months) == 4
    assert [held for _, held, _ in months] == [apart for *_, apart in months]


@settings(max_examples=25, deadline=None)
@given(quantities, ledgers, quantities)
def test_a_count_changes_the_cost_of_no_job_before_it(opening, lines, counted):
    last = Entry(1 + max(line.day for line in lines), "counted", counted)
    with _work_out(opening, lines) as connection:
        before = {row[0]: row[1] for row in _ask(connection, PAID, last.on) if row[2]}
    with _work_out(opening, [*lines, last]) as connection:
        after = {row[0]: row[1] for row in _ask(connection, PAID, last.on)}

    assert before == {job_ref: after[job_ref] for job_ref in before}
