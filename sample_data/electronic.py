"""Electronic invoices to EN 16931: what one says, and the elements that both syntaxes are of."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import ROUND_HALF_UP, Decimal
from typing import TypeAlias

from lxml import etree

NORM = "urn:cen.eu:en16931:2017"
VAT_PCT = "20"
NO_VAT_NUMBER = "GB000000000"
_UBL = "urn:oasis:names:specification:ubl:schema:xsd"
_CII = "urn:un:unece:uncefact:data:standard"
UBL_NAMES: Mapping[str | None, str] = {
    None: f"{_UBL}:Invoice-2",
    "cac": f"{_UBL}:CommonAggregateComponents-2",
    "cbc": f"{_UBL}:CommonBasicComponents-2",
}
CII_NAMES: Mapping[str | None, str] = {
    "rsm": f"{_CII}:CrossIndustryInvoice:100",
    "ram": f"{_CII}:ReusableAggregateBusinessInformationEntity:100",
    "udt": f"{_CII}:UnqualifiedDataType:100",
}
_ALL_NAMES = {**UBL_NAMES, **CII_NAMES}

Part: TypeAlias = etree._Element | None  # noqa: SLF001 - lxml names its elements so


@dataclass(frozen=True)
class Sold:
    """A line of goods, or what is charged beside them: words, packs, price of one, net."""

    words: str
    packs: int
    price_gbp: Decimal
    net_gbp: Decimal


@dataclass(frozen=True)
class Invoice:
    """One invoice: what was sold, and what was charged for bringing it."""

    supplier: str
    number: str
    issued_on: date
    order_no: str
    lines: Sequence[Sold]
    charges: Sequence[Sold] = ()

    @property
    def net_gbp(self) -> Decimal:
        """Return the sum without VAT."""
        return self.goods_gbp + self.charges_gbp

    @property
    def goods_gbp(self) -> Decimal:
        """Return the sum of the lines."""
        return sum((line.net_gbp for line in self.lines), Decimal(0))

    @property
    def charges_gbp(self) -> Decimal:
        """Return the sum of the charges."""
        return sum((charge.net_gbp for charge in self.charges), Decimal(0))

    @property
    def vat_gbp(self) -> Decimal:
        """Return the VAT, to the penny."""
        vat = self.net_gbp * Decimal(VAT_PCT) / 100
        return vat.quantize(Decimal("0.01"), ROUND_HALF_UP)


def make(name: str, *parts: Part | str, keep: bool = False, **attributes: str) -> Part:
    """Return an element of its text or parts; none where all are blank, unless it is kept."""
    inside = [part for part in parts if part is not None and not isinstance(part, str)]
    text = "".join(part for part in parts if isinstance(part, str))
    if not inside and not text and not keep:
        return None
    prefix, _, local = name.rpartition(":")
    space = _ALL_NAMES[prefix or None]
    made = etree.Element(f"{{{space}}}{local}", attributes, nsmap={prefix or None: space})
    made.extend(inside)
    made.text = text or None
    return made


def write_xml(root: Part, names: Mapping[str | None, str]) -> bytes:
    """Return the document, its namespaces named once."""
    etree.cleanup_namespaces(root, top_nsmap=dict(names))
    etree.indent(root)
    written: bytes = etree.tostring(root, xml_declaration=True, encoding="UTF-8")
    return written + b"\n"


def make_pounds(name: str, amount: Decimal) -> Part:
    """Return an element of an amount in pounds, its currency beside it."""
    return make(name, f"{amount:.2f}", currencyID="GBP")
