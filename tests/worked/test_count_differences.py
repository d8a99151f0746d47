"""Differences between counts whose cause is known, worked out by hand."""

from datetime import date
from decimal import Decimal

import polars as pl
import pytest

from pipelines.stock.count_tests import judge_counts

DAYS = [date(2026, 1, 31), date(2026, 2, 28), date(2026, 3, 31), date(2026, 4, 30)]
FLOOR_GBP = Decimal(25)
NO_ORDERS = pl.DataFrame(
    schema={
        "material": pl.String,
        "order_no": pl.String,
        "supplier": pl.String,
        "due_on": pl.Date,
        "quantity": pl.Decimal(18, 3),
    }
)
NO_CARDS = pl.DataFrame(
    schema={
        "material": pl.String,
        "job_ref": pl.String,
        "completed_on": pl.Date,
        "reason": pl.String,
    }
)


def _spans(*differences, price_gbp="3", variance=1.0, issue_variance=2.0, **columns):
    """Spans with the same error in each count; standard error of a span: sqrt(1 + 2 + 1) = 2 kg."""
    rows = [
        {
            "material": "resin",
            "base_unit": "kg",
            "from_on": DAYS[at],
            "to_on": DAYS[at + 1],
            "difference_quantity": Decimal(difference),
            "difference_gbp": price_gbp and Decimal(difference) * Decimal(price_gbp),
            "opening_variance": variance,
            "issue_variance": issue_variance,
            "closing_variance": variance,
            "unrecorded_count": 0,
            "has_issue_records": True,
        }
        | columns
        for at, difference in enumerate(differences)
    ]
    money = {"difference_gbp": pl.Decimal(12, 2), "difference_quantity": pl.Decimal(18, 3)}
    return pl.DataFrame(rows, schema_overrides=money)


def _judged(spans, orders=NO_ORDERS, cards=NO_CARDS):
    return judge_counts(spans, orders, cards, FLOOR_GBP)


def _signatures(spans, **evidence):
    return _judged(spans, **evidence)["signature"].to_list()


def _orders(*rows):
    return pl.DataFrame(rows, schema=NO_ORDERS.schema, orient="row")


def test_the_error_is_both_counts_and_what_was_weighed_out_between():
    assert _judged(_spans("1"))["error_quantity"].to_list() == [2.0]


@pytest.mark.parametrize(("kilograms", "is_beyond"), [("4", False), ("10", True), ("-10", True)])
def test_two_standard_errors_are_within(kilograms, is_beyond):
    assert _judged(_spans(kilograms, price_gbp="30"))["is_beyond"].to_list() == [is_beyond]


@pytest.mark.parametrize(("price_gbp", "is_beyond"), [("2.5", False), ("2.51", True), (None, True)])
def test_ten_kilograms_are_asked_about_where_they_are_worth_more_than_the_floor(
    price_gbp, is_beyond
):
    assert _judged(_spans("10", price_gbp=price_gbp))["is_beyond"].to_list() == [is_beyond]


def test_counts_without_error_show_the_smallest_difference():
    spans = _spans("0.001", price_gbp="30000", variance=0.0, issue_variance=0.0)

    assert _judged(spans)["is_beyond"].to_list() == [True]


def test_what_comes_back_at_the_next_count_was_a_miscount():
    # 20 - 17 = 3, and the count between drops out: error sqrt(1 + 2 + 2 + 1) = 2.4, twice 4.9
    tests = _judged(_spans("20", "-17", "0"))

    assert tests["signature"].to_list() == ["miscount", "miscount", None]
    assert all("the count of 28 February 2026" in words for words in tests["sentence"][:2])


def test_what_does_not_come_back_is_a_lasting_loss():
    assert _signatures(_spans("20", "-2", "0")) == ["lasting loss", None, None]


@pytest.mark.parametrize(
    ("then", "signature"), [("-5.2", "miscount"), ("-4.9", "lasting loss"), ("3", "lasting loss")]
)
def test_where_part_of_it_comes_back_what_is_left_decides(then, signature):
    # 10 - 5.2 = 4.8 is within twice the error of the two spans together, 4.899; 5.1 is not
    assert _signatures(_spans("10", then, "0"))[0] == signature


def test_the_newest_difference_waits_for_the_next_count():
    tests = _judged(_spans("0", "0", "20"))

    assert tests["signature"].to_list() == [None, None, "cannot say"]
    assert tests["sentence"][2].endswith("We cannot say where it went: the next count may tell.")


def test_a_surplus_of_the_packs_of_an_ordered_line_is_a_missing_note():
    order = ("resin", "spring", "the merchant", date(2026, 2, 20), Decimal(40))

    assert _signatures(_spans("-41", "0"), orders=_orders(order)) == ["missing delivery note", None]
    assert "spring" in _judged(_spans("-41", "0"), orders=_orders(order))["sentence"][0]


def test_a_whole_document_gone_missing_is_all_that_was_due_between_the_counts():
    orders = _orders(
        ("resin", "early", "the merchant", date(2026, 1, 20), Decimal(30)),
        ("resin", "spring", "the merchant", date(2026, 2, 10), Decimal(40)),
        ("resin", "easter", "the merchant", date(2026, 2, 20), Decimal(60)),
    )

    found = _judged(_spans("-101", "0"), orders=orders)

    assert found["signature"][0] == "missing delivery note"
    assert "spring from the merchant and easter from the merchant" in found["sentence"][0]


@pytest.mark.parametrize(
    ("material", "due_on", "kilograms"),
    [
        ("mat", date(2026, 2, 20), "40"),
        ("resin", date(2026, 3, 20), "40"),
        ("resin", date(2026, 2, 20), "60"),
    ],
)
def test_another_material_a_later_day_or_another_quantity_is_no_such_note(
    material, due_on, kilograms
):
    order = (material, "spring", "the merchant", due_on, Decimal(kilograms))

    assert _signatures(_spans("-41", "0"), orders=_orders(order)) == ["cannot say", None]


def test_a_card_in_doubt_comes_first_and_keeps_the_span_before_it_from_being_called_a_loss():
    cards = pl.DataFrame(
        [("resin", "2026-014", date(2026, 3, 10), "6.5 kg of resin per m2, more than 6")],
        schema=NO_CARDS.schema,
        orient="row",
    )

    found = _judged(_spans("20", "-70", "0"), cards=cards)

    assert found["signature"].to_list() == ["cannot say", "doubtful card", None]
    assert "2026-014" in found["sentence"][1]


def test_spans_that_jobs_do_not_account_for_are_not_tested():
    unrecorded = _judged(_spans("20", unrecorded_count=2))
    never = _judged(_spans("20", has_issue_records=False))

    for tests in (unrecorded, never):
        assert tests["is_tested"].to_list() == [False]
        assert tests["is_beyond"].to_list() == [False]
        assert tests["error_quantity"].to_list() == [None]
    assert unrecorded["sentence"][0].startswith("2 jobs took resin")
    assert "not measured" in never["sentence"][0]


def test_what_the_count_before_it_makes_good_is_no_lasting_loss():
    # 3.5 kg within its error of 4, then 4.5 beyond: together 1.0, within the error of both
    judged = _judged(_spans("-3.5", "4.5", "0", price_gbp="30"))

    assert judged["signature"].to_list() == [None, "cannot say", None]
    assert "the count of 28 February 2026 may have been out" in judged["sentence"][1]
