"""A date as people write it; the order of day and month is proven or the date is refused."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, timedelta

_ISO = re.compile(r"(\d{4})-(\d{1,2})-(\d{1,2})([ T]00:00(:00(\.0+)?)?)?")
_YEAR_FIRST = re.compile(r"(\d{4})[/.](\d{1,2})[/.](\d{1,2})")
_SLASHED = re.compile(r"(\d{1,2})[/.-](\d{1,2})[/.-](\d{4}|\d{2})")
_WORDED = re.compile(
    r"(?:(?:mon|tues?|wed(?:nes)?|thu(?:rs)?|fri|sat(?:ur)?|sun)(?:day)?\.?,? )?"
    r"(\d{1,2})(?:st|nd|rd|th)?[ -]([a-z]{3,9})\.?,?[ -](\d{4}|\d{2})",
    re.IGNORECASE,
)
_SERIAL = re.compile(r"[2-6]\d{4}(\.0)?")
_MONTHS = (
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
)
_SERIAL_START = date(1899, 12, 30)
_CENTURY = 2000
_MONTHS_IN_YEAR = 12


@dataclass(frozen=True)
class Day:
    """What a cell says as a date: `value` or `fault`, and how it was mended."""

    value: date | None = None
    rule: str | None = None
    fault: str | None = None


def orders_shown(texts: Iterable[str]) -> frozenset[str]:
    """Return the orders of day and month ('dmy', 'mdy') that some of `texts` can only have."""
    pairs = [(int(found[1]), int(found[2])) for text in texts if (found := _slashed(text))]
    day_leads = any(first > _MONTHS_IN_YEAR for first, _ in pairs)
    month_leads = any(second > _MONTHS_IN_YEAR for _, second in pairs)
    return frozenset(["dmy"] * day_leads + ["mdy"] * month_leads)


def proven_order(
    texts: Iterable[str],
    told: str | None,
    *,
    day_first: bool | None,
    elsewhere: frozenset[str] = frozenset(),
) -> str | None:
    """
    Return 'dmy', 'mdy', 'ymd' or None (not proven) for one column of one sheet.

    `told` is the mapping's word and stands; else the column itself decides where it can; else the
    firm's setting `day_first`, unless other columns of the file (`elsewhere`, the orders that
    they show) disprove it. A column that shows both orders proves none.
    """
    if told is not None:
        return told
    shown = orders_shown(texts)
    if shown:
        return next(iter(shown)) if len(shown) == 1 else None
    if day_first is None:
        return None
    setting = "dmy" if day_first else "mdy"
    return setting if elsewhere <= {setting} else None


def read_day(text: str, order: str | None) -> Day:
    """Return what `text` says, given the proven order of day and month."""
    cell = " ".join(text.split())
    found = _ISO.fullmatch(cell) or _YEAR_FIRST.fullmatch(cell)
    if found:
        return _day(int(found[1]), int(found[2]), int(found[3]))
    if slashed := _slashed(cell):
        return _ordered(slashed, order)
    if worded := _WORDED.fullmatch(cell):
        return _worded(worded)
    if _SERIAL.fullmatch(cell):
        value = _SERIAL_START + timedelta(days=int(float(cell)))
        return Day(value, rule="day number of a spreadsheet that counts from 1900")
    return Day(fault="is not a date")


def _slashed(text: str) -> re.Match[str] | None:
    return _SLASHED.fullmatch(text.strip())


def _ordered(found: re.Match[str], order: str | None) -> Day:
    if order == "ymd":
        return _year_leads(found)
    first, second = int(found[1]), int(found[2])
    if order is None and first != second:
        return Day(fault=_unproven(max(first, second)))
    day, month = (second, first) if order == "mdy" else (first, second)
    return _in_year(found[3], month, day)


def _unproven(larger: int) -> str:
    if larger > _MONTHS_IN_YEAR:
        return "stands in a column that has dates day first and dates month first"
    return "could be day first or month first, and nothing in the file proves which"


def _year_leads(found: re.Match[str]) -> Day:
    if len(found[1]) != len("26") or len(found[3]) != len("26"):
        return Day(fault="does not begin with its year, as the dates of this source do")
    return _in_year(found[1], int(found[2]), int(found[3]))


def _worded(found: re.Match[str]) -> Day:
    word = found[2].lower()
    months = [at for at, name in enumerate(_MONTHS, start=1) if name.startswith(word)]
    if word == "sept":
        months = [9]
    return _in_year(found[3], months[0], int(found[1])) if months else Day(fault="is not a date")


def _in_year(year: str, month: int, day: int) -> Day:
    if len(year) != len("26"):
        return _day(int(year), month, day)
    rule = f"two figures of a year read as {_CENTURY + int(year)}"
    return _day(_CENTURY + int(year), month, day, rule)


def _day(year: int, month: int, day: int, rule: str | None = None) -> Day:
    try:
        return Day(date(year, month, day), rule)
    except ValueError:
        return Day(fault="is no day of the calendar")
