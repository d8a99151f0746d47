"""What one text means in a column of dates, words, units or names."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from pipelines.checking.dates import read_day
from pipelines.checking.names import Names, fold
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


def read_date(text: str, order: str | None) -> Value:
    """Return the date, given the proven order of day and month."""
    day = read_day(text, order)
    return Value(day.value, rule=day.rule, fault=day.fault)


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
    try:
        unit_of(text)
    except QuantityError:
        return Value(fault="is no unit that is known")
    return Value(text)


def read_name(text: str, names: Names) -> Value:
    """Return the known name that `text` means."""
    match = names.match(text)
    return Value(match.name, rule=match.rule, fault=match.fault, remedy=match.remedy)
