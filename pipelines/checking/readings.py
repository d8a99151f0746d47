"""What one text means in a column of dates, words, units or names."""

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import polars as pl

from pipelines.checking.dates import read_day
from pipelines.checking.names import Names, fold
from pipelines.checking.numbers import TEXT_MARK, note_text_mark, ungarble
from pipelines.errors import QuantityError
from pipelines.quantities import unit_of
from schemas.vocabulary import OTHER_SPELLINGS


@dataclass(frozen=True)
class Value:
    """What one text means in its column; `fault` where it means nothing."""

    value: Any = None
    unit: str | None = None
    rule: str | None = None
    fault: str | None = None
    remedy: str | None = None


NOTHING = Value()

_FORMULA_ERROR = re.compile(
    r"#(REF|N/A|VALUE|NAME|NULL|NUM|DIV/0|GETTING_DATA)[!?]?", re.IGNORECASE
)
_NO_ANSWERS = frozenset(
    {"tbc", "tba", "n/a", "n.a.", "na", "as quoted", "as drawn", "as above", "same", "ditto", "?"}
)
_TRIALS = frozenset({"test", "testing", "trial", "dummy", "asdf", "qwerty", "xxx", "abc123"})


def find_stand_in(text: str) -> str | None:
    """Return why `text` is no answer but stands in the place of one; None where it may be one."""
    if _FORMULA_ERROR.fullmatch(text):
        return "is the error of a formula"
    return "stands for no answer" if fold(text) in _NO_ANSWERS else None


def read_date(text: str, order: str | None) -> Value:
    """Return the date, given the proven order of day and month."""
    day = read_day(text.removeprefix(TEXT_MARK), order)
    if day.value is None:
        stand_in = find_stand_in(text)
        return Value(fault=f"{stand_in}, not a date" if stand_in else day.fault)
    return Value(day.value, rule=note_text_mark(text, day.rule))


def read_told(text: str) -> Value:
    """Return the text of a column that tells rows apart; a fault where it tells nothing."""
    if stand_in := find_stand_in(text):
        return Value(fault=stand_in)
    if fold(text) in _TRIALS:
        return Value(fault="looks like a row for trying out", remedy="leave the row out")
    return Value(text)


def read_told_plainly(texts: pl.Series) -> pl.Series:
    """
    Return the texts that `read_told` takes as they stand, null for those that it must look at.

    A text with a figure in it is none of the words that stand for nothing, but for one.
    """
    tells = texts.str.contains("[0-9]") & ~texts.str.contains("^#|(?i:abc123)")
    return texts.to_frame().select(pl.when(tells).then(pl.col(texts.name))).to_series()


def read_word(text: str, name: str, allowed: Sequence[str]) -> Value:
    """Return the one of the `allowed` words of column `name` that `text` means."""
    if text in allowed:
        return Value(text)
    folded = fold(text)
    if folded in allowed:
        return Value(folded, rule="capitals and spaces")
    other = OTHER_SPELLINGS.get(name, {}).get(folded)
    if other is not None:
        return Value(other, rule="another word for the same")
    return Value(fault=f"is none of: {', '.join(allowed)}")


def read_unit(text: str) -> Value:
    """Return the unit as it is written, if it is one."""
    plain = ungarble(text)
    try:
        unit_of(plain)
    except QuantityError:
        return Value(fault="is no unit that is known")
    return Value(plain, rule=None if plain == text else "letters garbled by another program")


def read_name(text: str, names: Names) -> Value:
    """Return the known name that `text` means."""
    told = read_told(text)
    if told.fault:
        return told
    match = names.match(text)
    return Value(match.name, rule=match.rule, fault=match.fault, remedy=match.remedy)
