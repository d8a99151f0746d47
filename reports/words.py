"""Figures, dates and lists as people read them."""

from collections.abc import Sequence
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

NO_BREAK = "\u00a0"
MINUS = "\u2212"

_SMALL = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
)  # fmt: skip
_MONTHS = (
    "January", "February", "March", "April", "May", "June", "July", "August", "September",
    "October", "November", "December",
)  # fmt: skip
_DAYS = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
_UNIT_SIGNS = {"m2": "m²", "each": ""}
_DECIMALS_BELOW = {"kg": (20, 1), "m2": (20, 1), "m": (100, 2), "l": (20, 1)}
"""By unit: below which figure decimals are shown, and how many."""

_MONTHS_IN_YEAR = 12
_ML_IN_A_LITRE = 1_000

Number = Decimal | float | int
NUMBERS = (Decimal, float, int)


def _fixed(value: Number, places: int) -> str:
    exact = value if isinstance(value, Decimal) else Decimal(repr(float(value)))
    rounded = exact.quantize(Decimal(1).scaleb(-places), rounding=ROUND_HALF_UP)
    text = f"{abs(rounded):,}"
    return f"{MINUS}{text}" if rounded < 0 else text


def number_in_words(count: int) -> str:
    """Return a count up to twelve in words ("no" for none), above it in figures."""
    return _SMALL[count] if 0 <= count < len(_SMALL) else f"{count:,}"


def counted(count: int, thing: str, things: str | None = None) -> str:
    """Return "7 jobs" or "1 job", the figure joined to its word by a no-break space."""
    return f"{count:,}{NO_BREAK}{thing if count == 1 else things or thing + 's'}"


def counted_in_words(count: int, thing: str, things: str | None = None) -> str:
    """Return "three jobs" or "one job"; figures above twelve."""
    return f"{number_in_words(count)} {thing if count == 1 else things or thing + 's'}"


def was_or_were(count: int) -> str:
    """Return the verb that goes with a count."""
    return "was" if count == 1 else "were"


def is_or_are(count: int) -> str:
    """Return the verb that goes with a count."""
    return "is" if count == 1 else "are"


def start_upper(text: str) -> str:
    """Return the text with its first letter as a capital, the rest as it is."""
    return text[:1].upper() + text[1:]


def listed(names: Sequence[str]) -> str:
    """Return "a, b and c"."""
    if len(names) < 2:  # noqa: PLR2004 - a list starts with two
        return "".join(names)
    return f"{', '.join(names[:-1])} and {names[-1]}"


def plural(name: str) -> str:
    """Return a job type in the plural: "dormers", "balconies"; other names are quoted."""
    if not name.isalpha():
        return f"“{name}” jobs"
    if name.endswith(("s", "x", "ch", "sh")):
        return f"{name}es"
    if name.endswith("y") and name[-2:-1] not in "aeiou":
        return f"{name[:-1]}ies"
    return f"{name}s"


def pounds(amount: Number) -> str:
    """Return whole pounds, halves away from nothing: "£1,617"."""
    text = _fixed(amount, 0)
    return f"{MINUS}£{text[1:]}" if text.startswith(MINUS) else f"£{text}"


def exact_pounds(amount: Number, places: int = 2) -> str:
    """Return pounds and pence, "£270.40"; more places for the price of a small unit."""
    text = _fixed(amount, places)
    return f"{MINUS}£{text[1:]}" if text.startswith(MINUS) else f"£{text}"


def signed_pounds(amount: Number) -> str:
    """Return a difference in whole pounds with its sign: "+£742", "£0"."""
    text = pounds(amount)
    return text if text.startswith(MINUS) or text == "£0" else f"+{text}"


def unit_price(amount: Number, unit: str) -> str:
    """Return a price of one base unit, "£3.10 a kg", of a litre for ml; four places if small."""
    if unit == "ml":
        return unit_price(amount * _ML_IN_A_LITRE, "l")
    places = 4 if 0 < abs(float(amount)) < 0.1 else 2  # noqa: PLR2004 - ten pence
    return f"{exact_pounds(amount, places)}{NO_BREAK}{'each' if unit == 'each' else _a(unit)}"


def _a(unit: str) -> str:
    return f"a{NO_BREAK}{unit_sign(unit)}"


def unit_sign(unit: str) -> str:
    """Return the unit as it is printed: "m²" for m2; nothing for single pieces."""
    return _UNIT_SIGNS.get(unit, unit)


def quantity(amount: Number, unit: str) -> str:
    """Return a quantity with its unit; decimals as far as the trade reads them, ml in litres."""
    if unit == "ml" and abs(float(amount)) >= _ML_IN_A_LITRE:
        return quantity(amount / _ML_IN_A_LITRE, "l")
    sign = unit_sign(unit)
    text = _fixed(amount, _places(amount, unit))
    return f"{text}{NO_BREAK}{sign}" if sign else text


def _places(amount: Number, unit: str) -> int:
    below, places = _DECIMALS_BELOW.get(unit, (0, 0))
    return places if abs(float(amount)) < below else 0


def amount(number: Number, unit: str) -> str:
    """Return a quantity for a sentence: as `quantity`, single pieces named as such."""
    return counted(round(number), "piece") if unit == "each" else quantity(number, unit)


def signed_quantity(amount: Number, unit: str) -> str:
    """Return a difference of quantities with its sign."""
    text = quantity(amount, unit)
    return text if text.startswith(MINUS) or amount == 0 else f"+{text}"


def from_to(first: Number, then: Number, unit: str) -> str:
    """Return "551 → 606 kg": two quantities as exact as each other, their unit once."""
    if unit == "ml" and max(abs(float(first)), abs(float(then))) >= _ML_IN_A_LITRE:
        return from_to(first / _ML_IN_A_LITRE, then / _ML_IN_A_LITRE, "l")
    places = max(_places(first, unit), _places(then, unit))
    sign = unit_sign(unit)
    both = f"{_fixed(first, places)} → {_fixed(then, places)}"
    return f"{both}{NO_BREAK}{sign}" if sign else both


def rate(value: Number, rate_label: str) -> str:
    """Return a rate without its label: one decimal per 10 m, two else."""
    return _fixed(value, 1 if "per 10" in rate_label else 2)


def rate_with_label(value: Number, rate_label: str) -> str:
    """Return "1.72 kg per m²", the figure joined to its unit."""
    return f"{rate(value, rate_label)}{NO_BREAK}{rate_label}"


def of_hundred(ratio: float) -> str:
    """Return a share of price in pounds of every hundred: 0.19 gives "£19"."""
    return pounds(ratio * 100)


def signed_percent(ratio: float) -> str:
    """Return a difference in per cent with its sign: 0.09 gives "+9 %"."""
    text = _fixed(ratio * 100, 0)
    sign = "" if text.startswith(MINUS) or text == "0" else "+"
    return f"{sign}{text}{NO_BREAK}%"


def day(when: date) -> str:
    """Return "4 June 2026"."""
    return f"{when.day}{NO_BREAK}{_MONTHS[when.month - 1]}{NO_BREAK}{when.year}"


def short_day(when: date) -> str:
    """Return "4 June"."""
    return f"{when.day}{NO_BREAK}{_MONTHS[when.month - 1]}"


def weekday(when: date) -> str:
    """Return "Thursday 4 June", for a day on which someone must act."""
    return f"{_DAYS[when.weekday()]} {short_day(when)}"


def month(when: date) -> str:
    """Return "May 2026"."""
    return f"{_MONTHS[when.month - 1]}{NO_BREAK}{when.year}"


def month_name(when: date) -> str:
    """Return "May"."""
    return _MONTHS[when.month - 1]


def short_month(when: date) -> str:
    """Return "May", "Sep": three letters, for an axis."""
    return month_name(when)[:3]


def month_number(when: date) -> int:
    """Return a running number of the month, for an axis on which months are evenly apart."""
    return when.year * _MONTHS_IN_YEAR + when.month - 1


def months_from(first: date, last: date) -> str:
    """Return "March to May 2026", "December 2025 to February 2026", or one month."""
    if (first.year, first.month) == (last.year, last.month):
        return month(last)
    left = month_name(first) if first.year == last.year else month(first)
    return f"{left} to {month(last)}"
