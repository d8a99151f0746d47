"""A number is read where one reading is possible, and refused where two are."""

from decimal import Decimal

import pytest

from pipelines.checking.numbers import Decimals, read_number


@pytest.mark.parametrize(
    ("text", "value", "unit", "rule"),
    [
        ("12", "12", None, None),
        ("-3.50", "-3.50", None, None),
        (".5", "0.5", None, None),
        ("1,250.00", "1250.00", None, "comma between thousands"),
        ("1 250", "1250", None, "space between thousands"),
        ("1\u00a0250.5", "1250.5", None, "space between thousands"),
        ("£45.00", "45.00", "gbp", "pound sign"),
        ("-£45", "-45", "gbp", "pound sign"),
        ("GBP 45", "45", "gbp", "pound sign"),
        ("(45.00)", "-45.00", None, "minus written the bookkeeper's way"),
        ("45.00-", "-45.00", None, "minus written the bookkeeper's way"),
        ("45.00 CR", "-45.00", None, "minus written the bookkeeper's way"),
        ("(£45.00)", "-45.00", "gbp", "minus written the bookkeeper's way, pound sign"),
        ("20 kg", "20", "kg", "unit written with the number"),
        ("20kgs", "20", "kg", "unit written with the number"),
        ("7 lengths", "7", "length", "unit written with the number"),
        ("20 %", "20", "%", "unit written with the number"),
        ("2 x 20kg", "40", "kg", "2 packs of 20 kg"),
        ("2 \u00d7 2.5 l", "5.0", "l", "2 packs of 2.5 l"),
    ],
)
def test_what_can_only_be_one_number_is_read_and_what_was_mended_is_said(
    text: str, value: str, unit: str | None, rule: str | None
) -> None:
    found = read_number(text)

    assert (found.value, found.unit, found.rule) == (Decimal(value), unit, rule)


@pytest.mark.parametrize(
    ("text", "fault"),
    [
        ("12,5", "has a decimal comma; write it with a point"),
        ("0,125", "has a decimal comma; write it with a point"),
        ("€45", "is in EUR; only GBP is taken, and nothing is converted"),
        ("45 USD", "is in USD; only GBP is taken, and nothing is converted"),
        ("2 x 20 blobs", "names a unit that is not known: blobs"),
        *(
            (text, "is not a number")
            for text in (
                "20 25", "4 5", "1,25,000", "1.2.3", "tbc", "n/a", "as quoted", "#REF!", "1e5",
                "NaN", "inf", "12 blobs", "--5", "(45", "£", "££5",
            )
        ),
    ],
)  # fmt: skip
def test_what_could_be_two_numbers_or_none_is_refused(text: str, fault: str) -> None:
    found = read_number(text)

    assert (found.value, found.fault) == (None, fault)


def test_a_decimal_comma_is_read_where_the_whole_file_has_them() -> None:
    found = read_number("12,5", Decimals.COMMAS)

    assert (found.value, found.rule) == (Decimal("12.5"), "decimal comma, as in the whole file")


@pytest.mark.parametrize(
    ("text", "decimals"),
    [("12,500", Decimals.COMMAS), ("12,500", Decimals.BOTH), ("12,5", Decimals.BOTH),
     ("1.250", Decimals.BOTH)],
)  # fmt: skip
def test_thousands_or_decimals_is_refused_in_a_file_that_has_decimal_commas(
    text: str, decimals: Decimals
) -> None:
    assert read_number(text, decimals).value is None
