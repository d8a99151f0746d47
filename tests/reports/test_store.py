"""The store by the last count and the papers."""

from decimal import Decimal

import polars as pl

from reports import buyer
from reports.page import Section
from tests.support.page_frames import STATES

RELATION = "page.stock_as_counted"


def _store(expected: dict[str, str]) -> Section:
    frames = dict(STATES["full"]())
    stood = frames[RELATION]
    told = [
        Decimal(expected.get(row["material"], str(row["expected_quantity"])))
        for row in stood.iter_rows(named=True)
    ]
    changed = pl.Series("expected_quantity", told, stood.schema["expected_quantity"])
    frames[RELATION] = stood.with_columns(changed)
    return buyer.build(frames).sections[0]


def test_what_should_be_there_stands_beside_what_was_counted() -> None:
    figure = _store({}).figure
    assert figure is not None
    resin = figure.twin.rows[0]

    assert resin[0:6] == (
        "resin", "48\u00a0kg", "29\u00a0May", "+20\u00a0kg", "68\u00a0kg", "92\u00a0kg",
    )  # fmt: skip


def test_less_than_nothing_is_a_paper_in_doubt_and_no_stock() -> None:
    notes = " ".join(_store({"drip trim": "-4.5"}).notes)

    assert "less than nothing is there of drip trim" in notes
    assert "less than nothing" not in " ".join(_store({}).notes)


def test_what_is_past_its_date_is_said_to_be_in_it() -> None:
    notes = " ".join(_store({}).notes)

    assert "past the date on the tin: 9.0\u00a0kg of light grey topcoat" in notes
