"""Whether the stock adds up, on the buyer's page and the owner's."""

from decimal import Decimal
from typing import Any

import polars as pl
import pytest

from reports import buyer, owner
from reports.page import Section
from tests.support.page_frames import STATES

QUESTION = "Does the stock add up?"


def _section(page: Any, **changed: pl.DataFrame) -> Section:
    frames = dict(STATES["full"]())
    frames |= {f"page.{name}": frame for name, frame in changed.items()}
    (found,) = [each for each in page.build(frames).sections if each.question == QUESTION]
    return found


def _months(**values: Any) -> pl.DataFrame:
    months = STATES["full"]()["page.count_month"]
    return months.with_columns(
        pl.lit(value, months.schema[name]).alias(name) for name, value in values.items()
    )


def test_the_months_of_late_are_added_up_and_both_sides_are_said() -> None:
    finding = _section(buyer).finding

    # 212.40 in May, 151.20 in April; the months before are nothing
    assert finding == (
        "The sums add up; £212 of material since March has no job against it and £151 more lay "
        "there than the papers say."
    )
    assert _section(owner).finding == finding


def test_all_is_well_only_where_something_was_told() -> None:
    nothing = Decimal(0)
    well = _months(no_job_gbp=nothing, more_gbp=nothing)
    assert _section(buyer, count_month=well).finding == (
        "The sums add up; nothing is out by more than counting can be."
    )
    silent = _months(not_tested_count=12)
    assert "not known" in _section(buyer, count_month=silent).finding
    broken = _months(adds_up=False)
    assert _section(buyer, count_month=broken).finding.startswith("The sums do not add up; £212")


def test_a_difference_stands_in_packs_pounds_and_what_it_looks_like() -> None:
    figure = _section(buyer).figure
    assert figure is not None

    assert figure.twin.rows == (
        ("drip trim", "31\u00a0May\u00a02026", "+36.00\u00a0m", "12\u00a0lengths", "+£151",
         "missing note"),
        ("resin", "31\u00a0May\u00a02026", "\u221241\u00a0kg", "2\u00a0packs", "\u2212£135",
         "lasting loss"),
        ("450 mat", "31\u00a0May\u00a02026", "\u221220\u00a0m²", "", "not known", "cannot say"),
    )  # fmt: skip


def test_the_paper_that_is_missing_is_asked_for_before_a_loss_is_looked_for() -> None:
    action = _section(buyer).action
    assert action is not None

    assert action.heading == "Ask for the paper"
    assert action.says.startswith("36.00\u00a0m of drip trim: it is what was ordered as 2026-17")


def test_what_is_shared_out_is_called_so_and_places_are_dated() -> None:
    section = _section(buyer)

    assert section.tables[0].caption == "Shared out over the jobs, not measured"
    assert section.tables[0].rows[0][3] == "112, between 108 and 116"
    assert section.tables[0].rows[1][3:] == ("not known", "Too few counts.")
    assert section.folded[-1].rows[1][:3] == ("resin", "van", "30\u00a0April\u00a02026")


@pytest.mark.parametrize("page", [buyer, owner])
def test_nothing_counted_twice_is_no_clean_bill(page: Any) -> None:
    none = STATES["full"]()["page.count_month"].clear()
    section = _section(page, count_month=none)

    assert section.finding.startswith("We cannot say yet")
    assert section.figure is None


def test_the_owner_reads_the_two_sentences_of_the_last_month() -> None:
    note, how_reckoned = _section(owner).notes

    assert note.startswith("May\u00a02026: The sums add up. All material this month")
    assert how_reckoned.startswith("Pounds at what the very tins cost")


def test_credits_that_lower_no_delivery_are_said_and_listed() -> None:
    section = _section(buyer)
    (listed,) = [each for each in section.folded if each.caption.startswith("Credits")]

    assert section.notes[-1].startswith("Two credits of the last year, £43, name no delivery")
    assert listed.rows[0] == (
        "Quayside Resins 90398", "31\u00a0May\u00a02026", "resin", "£12.50",
    )  # fmt: skip


def test_differences_of_unknown_worth_are_listed_though_none_is_drawn() -> None:
    found = STATES["full"]()["page.count_test"]
    unpriced = found.with_columns(
        pl.lit(None, found.schema["difference_gbp"]).alias("difference_gbp")
    )
    section = _section(buyer, count_test=unpriced)

    assert section.figure is None
    assert section.tables[0].caption == "What the counts found"
    assert section.notes[0].startswith("Of 3\u00a0differences no price is known")
