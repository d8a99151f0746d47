"""An electronic invoice as it says itself: its terms read, and what of them can't be read."""

import re
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from functools import cache

from lxml import etree

from pipelines.receiving.invoice_terms import NAMESPACES, TERMS, Syntax
from pipelines.receiving.invoice_totals import Taxed, Totals, VatGroup

_FIGURE = re.compile(r"[+-]?(\d{1,20}(\.\d{0,12})?|\.\d{1,12})")
_NIL = re.compile(r"[+-]?(0+(\.0*)?|\.0+)")
_DAY = re.compile(r"(\d{4}-\d{2}-\d{2})(Z|[+-]\d{2}:\d{2})?|(\d{8})")
_PENNY = Decimal("0.01")
_YES = {"true": True, "1": True, "false": False, "0": False}
_NOTHING_TAXED = "O"


@dataclass(frozen=True)
class InvoiceLine:
    """A line as written; figures are None where it states none that can be read."""

    number: str | None
    item: str | None
    words: str | None
    item_no: str | None
    quantity: Decimal | None
    unit_code: str | None
    net: Decimal | None
    price: Decimal | None
    base_quantity: Decimal | None
    base_unit_code: str | None
    is_adjusted: bool
    taxed: Taxed | None
    period_end: date | None
    attributes: Mapping[str, str]
    lot: str | None


@dataclass(frozen=True)
class Adjustment:
    """An allowance or charge of the whole document, its amount as written."""

    is_charge: bool
    amount: Decimal | None
    reason: str | None
    reason_code: str | None
    taxed: Taxed | None


@dataclass(frozen=True)
class Invoice:
    """A document as written, credits with the signs that they are written with."""

    number: str | None
    issued_on: date | None
    type_code: str | None
    currency: str | None
    supplier: str | None
    order_no: str | None
    preceding: tuple[str, ...]
    delivered_on: date | None
    lines: tuple[InvoiceLine, ...]
    adjustments: tuple[Adjustment, ...]
    vat: tuple[VatGroup, ...]
    totals: Totals | None
    rounding: Decimal | None
    has_rounding: bool
    faults: tuple[str, ...]


def read_document(root: etree._Element, syntax: Syntax) -> Invoice:
    """
    Return what the document says, money in its own currency.

    `faults` names in words each needed term that is missing or cannot be read; where one of the
    totals is among them `totals` is None.
    """
    return _Reader(syntax).read(root)


@cache
def _finder(term: str, syntax: Syntax) -> etree.XPath:
    return etree.XPath(TERMS[term].path(syntax), namespaces=NAMESPACES)


@dataclass
class _Reader:
    syntax: Syntax
    currency: str = ""
    where: str = ""
    faults: list[str] = field(default_factory=list)

    def read(self, root: etree._Element) -> Invoice:
        self.currency = self.needed(root, "BT-5") or ""
        lines = tuple(self.line(at, one) for at, one in enumerate(self.find(root, "BG-25"), 1))
        adjustments = tuple(self.adjustment(one) for one in self.find(root, "BG-20"))
        self.where = ""
        rounding = self.amount(root, "BT-114")
        return Invoice(
            number=self.needed(root, "BT-1"),
            issued_on=self.day(root, "BT-2", needed=True),
            type_code=self.needed(root, "BT-3"),
            currency=self.currency or None,
            supplier=self.needed(root, "BT-27"),
            order_no=self.text(root, "BT-13"),
            preceding=tuple(dict.fromkeys(self.texts(root, "BT-25"))),
            delivered_on=self.day(root, "BT-72"),
            lines=lines,
            adjustments=adjustments,
            vat=tuple(filter(None, (self.vat_group(one) for one in self.find(root, "BG-23")))),
            totals=self.totals(root, rounding),
            rounding=rounding,
            has_rounding=any(not _NIL.fullmatch(text) for text in self.texts(root, "BT-114")),
            faults=tuple(dict.fromkeys(self.faults)),
        )

    def line(self, at: int, line: etree._Element) -> InvoiceLine:
        number = self.text(line, "BT-126")
        self.where = f" of line {number or at}"
        net = self.amount(line, "BT-131", needed=True)
        return InvoiceLine(
            number=number,
            item=self.needed(line, "BT-153"),
            words=self.text(line, "BT-154"),
            item_no=self.text(line, "BT-155"),
            quantity=self.figure(line, "BT-129", needed=True),
            unit_code=self.needed(line, "BT-130"),
            net=net,
            price=self.price(line),
            base_quantity=self.figure(line, "BT-149"),
            base_unit_code=self.text(line, "BT-150"),
            is_adjusted=bool(self.find(line, "BG-27")),
            taxed=self.taxed(line, net, "BT-151", "BT-152"),
            period_end=self.day(line, "BT-135"),
            attributes=self.attributes(line),
            lot=self.text(line, "lot"),
        )

    def adjustment(self, one: etree._Element) -> Adjustment:
        said = self.text(one, "charge") or ""
        self.where = " of a charge" if _YES.get(said) else " of an allowance"
        if said not in _YES:
            self.faults.append(f'"{said}" says neither allowance nor charge')
        amount = self.amount(one, "BT-92", needed=True)
        return Adjustment(
            is_charge=_YES.get(said, False),
            amount=amount,
            reason=self.text(one, "BT-97"),
            reason_code=self.text(one, "BT-98"),
            taxed=self.taxed(one, amount, "BT-95", "BT-96"),
        )

    def vat_group(self, one: etree._Element) -> VatGroup | None:
        self.where = " in the breakdown of VAT"
        taxable = self.amount(one, "BT-116", needed=True)
        vat = self.amount(one, "BT-117", needed=True)
        taxed = self.taxed(one, taxable, "BT-118", "BT-119")
        if taxed is None or vat is None:
            return None
        return VatGroup(taxed.category, taxed.rate_pct, taxed.amount, vat)

    def totals(self, root: etree._Element, rounding: Decimal | None) -> Totals | None:
        self.where = ""
        needed = [
            self.amount(root, term, needed=True)
            for term in ("BT-106", "BT-109", "BT-112", "BT-115")
        ]
        found = [amount for amount in needed if amount is not None]
        if len(found) < len(needed):
            return None
        line_nets, without_vat, with_vat, due = found
        return Totals(
            line_nets, without_vat, with_vat, due,
            allowances=self.amount(root, "BT-107"),
            charges=self.amount(root, "BT-108"),
            vat=self.amount(root, "BT-110"),
            paid_before=self.amount(root, "BT-113"),
            rounding=rounding,
        )  # fmt: skip

    def taxed(
        self, one: etree._Element, amount: Decimal | None, category: str, rate: str
    ) -> Taxed | None:
        code = self.needed(one, category)
        rate_pct = self.figure(one, rate, needed=code not in {None, _NOTHING_TAXED})
        if amount is None or code is None:
            return None
        return Taxed(amount, code, rate_pct or Decimal(0))

    def attributes(self, line: etree._Element) -> dict[str, str]:
        found: dict[str, str] = {}
        for one in self.find(line, "BG-32"):
            name, value = self.text(one, "BT-160"), self.text(one, "BT-161")
            if name and value:
                found.setdefault(name.casefold(), value)
        return found

    def price(self, line: etree._Element) -> Decimal | None:
        self.check_currency(line, "BT-146")
        return self.figure(line, "BT-146")

    def amount(self, one: etree._Element, term: str, *, needed: bool = False) -> Decimal | None:
        self.check_currency(one, term)
        value = self.figure(one, term, needed=needed)
        if value is not None and value != value.quantize(_PENNY):
            self.faults.append(f"{self.name(term)} has parts of a penny: {value:f}")
        return value

    def check_currency(self, one: etree._Element, term: str) -> None:
        for element in self.find(one, term):
            currency = element.get("currencyID")
            if currency not in {None, self.currency}:
                said = f"is in {currency}, the document in {self.currency or 'none'}"
                self.faults.append(f"{self.name(term)} {said}")

    def figure(self, one: etree._Element, term: str, *, needed: bool = False) -> Decimal | None:
        text = self.needed(one, term) if needed else self.text(one, term)
        if text is None:
            return None
        if not _FIGURE.fullmatch(text):
            self.faults.append(f'{self.name(term)} is no figure: "{text[:40]}"')
            return None
        return Decimal(text)

    def day(self, one: etree._Element, term: str, *, needed: bool = False) -> date | None:
        text = self.needed(one, term) if needed else self.text(one, term)
        if text is None:
            return None
        found = _DAY.fullmatch(text)
        try:
            if found and found[1]:
                return date.fromisoformat(found[1])
            if found:
                return datetime.strptime(text, "%Y%m%d").date()  # noqa: DTZ007 - a day has no zone
        except ValueError:
            pass
        self.faults.append(f'{self.name(term)} is no date: "{text[:40]}"')
        return None

    def needed(self, one: etree._Element, term: str) -> str | None:
        text = self.text(one, term)
        if text is None:
            self.faults.append(f"{self.name(term)} is missing")
        return text

    def text(self, one: etree._Element, term: str) -> str | None:
        found = list(dict.fromkeys(self.texts(one, term)))
        if len(found) > 1:
            self.faults.append(f"{self.name(term)} stands twice: {found[0]}, {found[1]}")
        return found[0] if found else None

    def texts(self, one: etree._Element, term: str) -> list[str]:
        found = self.find(one, term)
        texts = (part if isinstance(part, str) else part.text or "" for part in found)
        return [text for text in (" ".join(text.split()) for text in texts) if text]

    def find(self, one: etree._Element, term: str) -> list[etree._Element]:
        return list(_finder(term, self.syntax)(one, currency=self.currency))

    def name(self, term: str) -> str:
        number = f" ({term})" if term.startswith("BT-") else ""
        return f"the {TERMS[term].says}{number}{self.where}"
