"""A number as people write it, read only where one reading is possible."""

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from enum import Enum

from pipelines.errors import QuantityError
from pipelines.quantities import unit_of

POUNDS = "gbp"
"""The unit of a cell that has a pound sign."""

PER_CENT = "%"

TEXT_MARK = "'"
"""What a spreadsheet puts before a figure that is kept as text."""

_PLAIN = re.compile(r"[+-]?(\d+(\.\d*)?|\.\d+)")
_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}([ ,])\d{3}(\1\d{3})*(\.\d+)?")
_POINT_OR_THOUSANDS = re.compile(r"[+-]?[1-9]\d{0,2}(\.\d{3})+")
_COMMA_DECIMALS = re.compile(r"[+-]?(\d+,(\d{1,2}|\d{4,})|0,\d+)")
_PACKS = re.compile(r"(?P<count>\d+) ?[x\u00d7] ?(?P<size>\d+(\.\d+)?) ?(?P<unit>[a-zA-Z²]+)")
_WITH_UNIT = re.compile(r"(?P<number>[-+(]?[\d., ]*\d\.?\)?-?) ?(?P<unit>[a-zA-Z²%][\w ².]*)")
_SPACES = re.compile(r"[\s\u00a0\u202f]+")
_POUNDS = re.compile(r"£ ?| ?\bGBP\b ?", re.IGNORECASE)
_FOREIGN = {"€": "EUR", "$": "USD", "eur": "EUR", "usd": "USD", "chf": "CHF"}
_FOREIGN_SIGN = re.compile(r"[€$]|(?<![a-z])(?:eur|usd|chf)(?![a-z])", re.IGNORECASE)

DECIMAL_COMMA = r"(^|[^\d.,])(\d+,(\d{1,2}|\d{4,})|0,\d+)($|[^\d.,])"
DECIMAL_POINT = r"\d\.\d"
"""What shows that a file writes decimals with a comma, and with a point."""


@dataclass(frozen=True)
class Number:
    """
    What a cell says as a number.

    `value` is exact; `unit` is the unit written in the cell, if any; `rule` says how it was
    mended; `fault` says why it cannot be read. Exactly one of `value` and `fault` is filled.
    """

    value: Decimal | None = None
    unit: str | None = None
    rule: str | None = None
    fault: str | None = None


class Decimals(Enum):
    """How a file writes its decimals, as far as its numbers show it."""

    POINTS = "points"
    COMMAS = "commas"
    BOTH = "both"


def read_number(text: str, decimals: Decimals = Decimals.POINTS) -> Number:
    """
    Return what `text` says in a file that writes its decimals so.

    Where all decimals of the file have commas, that is proof enough to read 12,5; a comma before
    three digits could then be either, and is refused.
    """
    number = _read(_SPACES.sub(" ", text.strip().removeprefix(TEXT_MARK).strip()), decimals)
    if number.value is None:
        return number
    return replace(number, rule=note_text_mark(text, number.rule))


def note_text_mark(text: str, rule: str | None) -> str | None:
    """Return how a figure was mended, with the mark of a text that was taken off it."""
    if not text.strip().startswith(TEXT_MARK):
        return rule
    said = "mark of a text taken off"
    return f"{rule}, {said}" if rule else said


def ungarble(text: str) -> str:
    """Return `text` put right where it was written in UTF-8 and read as Windows-1252."""
    try:
        return text.encode("cp1252").decode("utf-8")
    except UnicodeError:
        return text


def _read(cell: str, decimals: Decimals) -> Number:
    if foreign := _FOREIGN_SIGN.search(cell):
        currency = _FOREIGN[foreign[0].lower()]
        return Number(fault=f"is in {currency}; only GBP is taken, and nothing is converted")
    if packs := _PACKS.fullmatch(cell):
        return _packs(packs)
    bare, pounds = _POUNDS.subn("", cell)
    if pounds == 1:
        return _in_unit(bare, POUNDS, "pound sign", decimals)
    number = _bare(cell, decimals)
    if number is None and (with_unit := _WITH_UNIT.fullmatch(cell)):
        return _with_unit(with_unit, decimals)
    return number or Number(fault="is not a number")


def _bare(cell: str, decimals: Decimals) -> Number | None:
    bare, rule = _unsigned(cell)
    if decimals is Decimals.BOTH and _POINT_OR_THOUSANDS.fullmatch(bare):
        return Number(fault="could be thousands or decimals: this file uses comma and point")
    if _PLAIN.fullmatch(bare):
        return Number(Decimal(bare), rule=rule)
    if thousands := _THOUSANDS.fullmatch(bare):
        return _thousands(bare, thousands[1], rule, decimals)
    if _COMMA_DECIMALS.fullmatch(bare):
        return _decimal_comma(bare, rule, decimals)
    return None


def _decimal_comma(bare: str, rule: str | None, decimals: Decimals) -> Number:
    if decimals is not Decimals.COMMAS:
        return Number(fault="has a decimal comma; write it with a point")
    said = "decimal comma, as in the whole file"
    return Number(Decimal(bare.replace(",", ".")), rule=f"{rule}, {said}" if rule else said)


def _unsigned(cell: str) -> tuple[str, str | None]:
    """Return the cell with the bookkeeper's ways of writing a minus brought to one, noted."""
    bracketed = cell.startswith("(") and cell.endswith(")")
    credited = cell.upper().endswith("CR")
    if bracketed or credited or (cell.endswith("-") and len(cell) > 1):
        bare = cell[1:-1] if bracketed else cell[:-2] if credited else cell[:-1]
        return f"-{bare.strip()}", "minus written the bookkeeper's way"
    return re.sub(r"^([+-]) ", r"\1", cell), None


def _thousands(bare: str, mark: str, rule: str | None, decimals: Decimals) -> Number:
    if mark == "," and decimals is not Decimals.POINTS and "." not in bare:
        return Number(fault="could be thousands or a decimal comma, which this file uses too")
    said = f"{'comma' if mark == ',' else 'space'} between thousands"
    return Number(Decimal(bare.replace(mark, "")), rule=f"{rule}, {said}" if rule else said)


def _packs(found: re.Match[str]) -> Number:
    unit = _known_unit(found["unit"])
    if unit is None:
        return Number(fault=f"names a unit that is not known: {found['unit']}")
    value = Decimal(found["count"]) * Decimal(found["size"])
    return Number(value, unit, rule=f"{found['count']} packs of {found['size']} {unit}")


def _with_unit(found: re.Match[str], decimals: Decimals) -> Number:
    unit = _known_unit(found["unit"])
    if unit is None:
        return Number(fault="is not a number")
    rule = "unit written with the number"
    return _in_unit(found["number"], unit, rule, decimals)


def _in_unit(text: str, unit: str, rule: str, decimals: Decimals) -> Number:
    number = _bare(text.strip(), decimals)
    if number is None or number.value is None:
        return number or Number(fault="is not a number")
    return Number(number.value, unit, rule=f"{number.rule}, {rule}" if number.rule else rule)


def _known_unit(text: str) -> str | None:
    if text == PER_CENT:
        return PER_CENT
    try:
        return unit_of(ungarble(text))
    except QuantityError:
        return None
