"""The invented firm's counts: each planted loss, missing note and miscount, found and named."""

import csv
from datetime import date
from decimal import Decimal
from importlib.resources import files

import pytest

NAMED = {
    "lost without a word": "lasting loss",
    "delivery note gone missing": "missing delivery note",
    "counted wrong": "miscount",
}
NOT_NAMED = {
    # the job of the next month has a card that cannot be: 106.6 kg were written
    ("resin", "2024-09-30"): "cannot say",
    # two cartridges are worth less than the floor
    ("adhesive", "2025-01-31"): None,
}
"""What the papers cannot settle, and why."""


def _differences():
    text = (files("sample_data") / "truth" / "differences.csv").read_text(encoding="utf-8")
    return list(csv.DictReader(text.splitlines()))


@pytest.mark.parametrize(
    "true", _differences(), ids=lambda row: f"{row['material']} {row['counted_on']}"
)
def test_what_was_planted_is_found_and_named(demo, ask, true):
    (found,) = ask(
        demo.root,
        """
        SELECT difference_quantity, error_quantity, signature, sentence
        FROM result.count_test WHERE material = $1 AND to_on = $2
        """,
        true["material"],
        date.fromisoformat(true["counted_on"]),
    )
    quantity, error, signature, sentence = found

    wanted = NOT_NAMED.get((true["material"], true["counted_on"]), NAMED[true["what"]])
    assert signature == wanted
    assert abs(quantity - Decimal(true["quantity"])) <= 2 * Decimal(error)
    assert true["order_no"] in sentence


def test_each_kind_of_difference_is_named_at_least_once(demo, ask):
    kinds = ask(demo.root, "SELECT DISTINCT signature FROM result.count_test WHERE is_beyond")

    assert {(name,) for name in NAMED.values()} <= set(kinds)
    assert {row["what"] for row in _differences()} == set(NAMED)


def test_nothing_else_of_the_last_quarter_is_asked_about(demo, ask):
    asked = ask(
        demo.root,
        """
        SELECT material, to_on FROM result.count_test
        WHERE is_beyond AND to_on >= DATE '2026-03-01'
        """,
    )
    planted = {(row["material"], date.fromisoformat(row["counted_on"])) for row in _differences()}

    assert len(asked) == 4
    assert set(asked) <= planted
