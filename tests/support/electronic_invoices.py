"""Electronic invoices of an invented world, as one value for both syntaxes."""

from collections import defaultdict
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from xml.sax.saxutils import escape


@dataclass(frozen=True)
class Line:
    """A line; figures as they are written."""

    item: str
    quantity: str
    unit: str
    net: str
    price: str = ""
    base: str = ""
    base_unit: str = ""
    rate: str = "20"
    category: str = "S"
    words: str = ""
    attributes: Mapping[str, str] = field(default_factory=dict)
    period_end: str = ""
    adjusted: bool = False


@dataclass(frozen=True)
class Adjustment:
    """A charge, or an allowance, of the whole document."""

    amount: str
    reason: str = ""
    code: str = ""
    charge: bool = False
    rate: str = "20"
    category: str = "S"


@dataclass(frozen=True)
class Document:
    """An invoice or credit; totals are worked out, `says` writes others in their place."""

    number: str = "PF-1071"
    lines: Sequence[Line] = ()
    adjustments: Sequence[Adjustment] = ()
    type_code: str = "380"
    day: str = "2025-03-14"
    supplier: str = "Peatmoor Factors"
    currency: str = "GBP"
    order_no: str = ""
    preceding: Sequence[str] = ()
    delivered: str = ""
    paid: str = ""
    rounding: str = ""
    says: Mapping[str, str] = field(default_factory=dict)

    @property
    def is_credit(self) -> bool:
        """Return whether the type is that of a credit note."""
        return self.type_code == "381"

    def by_rate(self) -> dict[tuple[str, str], tuple[Decimal, Decimal]]:
        """Return VAT category and rate -> taxable amount and VAT, to the penny."""
        taxable: dict[tuple[str, str], Decimal] = defaultdict(Decimal)
        for line in self.lines:
            taxable[line.category, line.rate] += Decimal(line.net)
        for one in self.adjustments:
            taxable[one.category, one.rate] += Decimal(one.amount) * (1 if one.charge else -1)
        return {at: (net, _penny(net * Decimal(at[1]) / 100)) for at, net in taxable.items()}

    def totals(self) -> dict[str, str]:
        """Return business term -> the total as written."""
        lines = sum((Decimal(line.net) for line in self.lines), Decimal(0))
        off, on = (
            sum((Decimal(a.amount) for a in self.adjustments if a.charge is charge), Decimal(0))
            for charge in (False, True)
        )
        vat = sum((vat for _, vat in self.by_rate().values()), Decimal(0))
        gross = lines - off + on + vat
        due = gross - Decimal(self.paid or 0) + Decimal(self.rounding or 0)
        found = {
            "BT-106": lines, "BT-107": off, "BT-108": on, "BT-109": lines - off + on,
            "BT-110": vat, "BT-112": gross, "BT-115": due,
        }  # fmt: skip
        stated = {term: str(amount) for term, amount in found.items()}
        return {**stated, "BT-113": self.paid, "BT-114": self.rounding, **self.says}


def unit_code(code: str) -> str:
    """Return a unit as an attribute."""
    return f' unitCode="{code}"'


def tag(name: str, text: str, attributes: str = "") -> str:
    """Return an element; nothing where its text is blank."""
    return f"<{name}{attributes}>{escape(text)}</{name}>\n" if text else ""


def nest(path: str, *parts: str) -> str:
    """Return the parts inside the elements of a path; nothing where there are none."""
    inside = "".join(parts)
    for name in reversed(path.split("/")) if inside else ():
        inside = f"<{name}>{inside}</{name}>\n"
    return inside


def _penny(amount: Decimal) -> Decimal:
    return amount.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)
