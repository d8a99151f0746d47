"""
The independent count of an electronic invoice. It shares no code with the reader.

The unit is what makes a row: a line, an allowance or charge of the whole document, a rounding.
"""

import re
from pathlib import Path
from xml.parsers import expat

from pipelines.receiving.handed_over import Unreadable

_UBL_PARTS = "urn:oasis:names:specification:ubl:schema:xsd:CommonAggregateComponents-2"
_UBL_FIGURES = "urn:oasis:names:specification:ubl:schema:xsd:CommonBasicComponents-2"
_CII_DEAL = "urn:un:unece:uncefact:data:standard:CrossIndustryInvoice:100"
_CII_PARTS = "urn:un:unece:uncefact:data:standard:ReusableAggregateBusinessInformationEntity:100"

_UNITS = {
    (f"{_UBL_PARTS} InvoiceLine",),
    (f"{_UBL_PARTS} CreditNoteLine",),
    (f"{_UBL_PARTS} AllowanceCharge",),
    (
        f"{_CII_DEAL} SupplyChainTradeTransaction",
        f"{_CII_PARTS} IncludedSupplyChainTradeLineItem",
    ),
    (
        f"{_CII_DEAL} SupplyChainTradeTransaction",
        f"{_CII_PARTS} ApplicableHeaderTradeSettlement",
        f"{_CII_PARTS} SpecifiedTradeAllowanceCharge",
    ),
}
_ROUNDINGS = {
    (f"{_UBL_PARTS} LegalMonetaryTotal", f"{_UBL_FIGURES} PayableRoundingAmount"),
    (
        f"{_CII_DEAL} SupplyChainTradeTransaction",
        f"{_CII_PARTS} ApplicableHeaderTradeSettlement",
        f"{_CII_PARTS} SpecifiedTradeSettlementHeaderMonetarySummation",
        f"{_CII_PARTS} RoundingAmount",
    ),
}
_NOUGHT = re.compile(r"\s*[+-]?(0+\.?0*|\.0+)?\s*")


class _Count:
    """Counts as the parser walks; elements are told by their names from below the root down."""

    def __init__(self) -> None:
        self.units = 0
        self.rounded = False
        self._open: list[str] = []
        self._text = ""

    def start(self, name: str, _: dict[str, str]) -> None:
        self._open.append(name)
        self._text = ""
        self.units += tuple(self._open[1:]) in _UNITS

    def take_text(self, text: str) -> None:
        self._text += text

    def end(self, _: str) -> None:
        if tuple(self._open[1:]) in _ROUNDINGS and not _NOUGHT.fullmatch(self._text):
            self.rounded = True
        self._open.pop()
        self._text = ""

    @staticmethod
    def refuse(*_: object) -> None:
        """Stop at a document type: what it declares could expand without end."""
        raise ValueError("the invoice declares a document type")


def count_invoice(path: Path) -> int:
    """Return the units of an electronic invoice; Unreadable where it cannot be walked through."""
    parser = expat.ParserCreate(namespace_separator=" ")
    parser.buffer_text = True
    count = _Count()
    parser.StartElementHandler = count.start
    parser.EndElementHandler = count.end
    parser.CharacterDataHandler = count.take_text
    parser.StartDoctypeDeclHandler = count.refuse
    try:
        with path.open("rb") as stream:
            parser.ParseFile(stream)
    except (expat.ExpatError, ValueError, LookupError) as error:
        raise Unreadable(
            "the XML file is damaged or only half there", "hand in a whole copy"
        ) from error
    return count.units + count.rounded
