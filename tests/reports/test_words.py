"""Figures, dates and lists as people read them."""

from datetime import date
from decimal import Decimal

import pytest

from reports import words

NB = words.NO_BREAK


@pytest.mark.parametrize(
    ("amount", "text"),
    [
        (Decimal("1617.49"), "£1,617"),
        (Decimal("0.50"), "£1"),
        (Decimal("2.50"), "£3"),
        (Decimal("-118.20"), f"{words.MINUS}£118"),
        (Decimal("-0.40"), "£0"),
        (19.4, "£19"),
    ],
)
def test_pounds_are_whole_and_halves_go_away_from_nothing(
    amount: Decimal | float, text: str
) -> None:
    assert words.pounds(amount) == text


def test_a_difference_always_has_its_sign() -> None:
    assert words.signed_pounds(Decimal(742)) == "+£742"
    assert words.signed_pounds(Decimal("-118.40")) == f"{words.MINUS}£118"
    assert words.signed_pounds(Decimal("0.2")) == "£0"
    assert words.signed_quantity(Decimal("64.4"), "kg") == f"+64{NB}kg"
    assert words.signed_percent(0.0903) == f"+9{NB}%"
    assert words.signed_percent(-0.05) == f"{words.MINUS}5{NB}%"


def test_pence_stand_where_lines_are_added() -> None:
    assert words.exact_pounds(Decimal("270.4")) == "£270.40"
    assert words.exact_pounds(Decimal("-1234.5")) == f"{words.MINUS}£1,234.50"
    assert words.unit_price(Decimal("3.1"), "kg") == f"£3.10{NB}a{NB}kg"
    assert words.unit_price(Decimal("0.0312"), "each") == f"£0.0312{NB}each"


def test_millilitres_are_read_in_litres_once_there_is_one() -> None:
    assert words.quantity(Decimal(20460), "ml") == f"20{NB}l"
    assert words.quantity(Decimal(620), "ml") == f"620{NB}ml"
    assert words.unit_price(Decimal("0.0192"), "ml") == f"£19.20{NB}a{NB}l"


def test_two_quantities_are_as_exact_as_each_other_with_their_unit_once() -> None:
    assert words.from_to(Decimal("3.02"), Decimal(25), "kg") == f"3.0 → 25.0{NB}kg"
    assert words.from_to(Decimal(620), Decimal(6422), "ml") == f"0.6 → 6.4{NB}l"
    assert words.from_to(Decimal(165), Decimal(1825), "each") == "165 → 1,825"


def test_single_pieces_are_named_in_a_sentence() -> None:
    assert words.amount(Decimal(1), "each") == f"1{NB}piece"
    assert words.amount(Decimal(12), "each") == f"12{NB}pieces"
    assert words.amount(Decimal(12), "kg") == f"12.0{NB}kg"


@pytest.mark.parametrize(
    ("amount", "unit", "text"),
    [
        (Decimal("9.04"), "kg", f"9.0{NB}kg"),
        (Decimal("19.95"), "kg", f"20.0{NB}kg"),
        (Decimal("231.5"), "kg", f"232{NB}kg"),
        (Decimal(6), "m", f"6.00{NB}m"),
        (Decimal(312), "m", f"312{NB}m"),
        (Decimal("5.96"), "m2", f"6.0{NB}m²"),
        (Decimal(1500), "each", "1,500"),
    ],
)
def test_quantities_show_the_decimals_that_the_trade_reads(
    amount: Decimal, unit: str, text: str
) -> None:
    assert words.quantity(amount, unit) == text


def test_a_rate_has_two_decimals_and_one_per_ten_metres() -> None:
    assert words.rate_with_label(1.715, "kg per m²") == f"1.72{NB}kg per m²"
    assert words.rate(10.25, "m per 10 m needed") == "10.3"


def test_counts_are_words_up_to_twelve() -> None:
    assert words.counted_in_words(3, "job") == "three jobs"
    assert words.counted_in_words(1, "job") == "one job"
    assert words.counted_in_words(13, "job") == "13 jobs"
    assert words.counted(7, "job") == f"7{NB}jobs"


def test_lists_end_with_and() -> None:
    assert words.listed([]) == ""
    assert words.listed(["resin"]) == "resin"
    assert words.listed(["resin", "mat", "trim"]) == "resin, mat and trim"


def test_job_types_bend_to_the_plural_or_are_quoted() -> None:
    assert [words.plural(name) for name in ("dormer", "bay", "balcony", "porch")] == [
        "dormers", "bays", "balconies", "porches",
    ]  # fmt: skip
    assert words.plural("garage (double)") == "“garage (double)” jobs"


def test_dates_are_written_out_and_joined() -> None:
    assert words.day(date(2026, 6, 4)) == f"4{NB}June{NB}2026"
    assert words.weekday(date(2026, 6, 4)) == f"Thursday 4{NB}June"
    assert words.months_from(date(2026, 3, 1), date(2026, 5, 31)) == f"March to May{NB}2026"
    assert words.months_from(date(2025, 12, 1), date(2026, 2, 28)) == (
        f"December{NB}2025 to February{NB}2026"
    )
