"""The last invoices of each supplier: papers of their own, electronic or printed."""

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from sample_data.cii_invoices import write_cii
from sample_data.electronic import VAT_PCT, Invoice, Sold
from sample_data.exports import describe, map_descriptions
from sample_data.firm import FIRM, FIXINGS, RESINS, TRIMS_AND_BOARDS
from sample_data.printed import Text, end_at, print_page
from sample_data.store import Document
from sample_data.ubl_invoices import write_ubl
from sample_data.work import History

_COUNTS = {TRIMS_AND_BOARDS: 2, FIXINGS: 1, RESINS: 1}
"""How many of a supplier's last invoices come as papers of their own."""
_STEMS = {TRIMS_AND_BOARDS: "thornwick", FIXINGS: "saltbarrow", RESINS: "mossgate"}
_LEFT, _TOP, _STEP = 50, 790, 14
_HEADING = ("Description", "Batch", "Use before", "Packs", "Price", "Net")
_PLACES = (50, 275, 340, 440, 495, 550)
"""Points from the left: where the first three columns begin, and the last three end."""

_ELECTRONIC = """name = "{stem} electronic"
files = ["{stem} *.xml"]
kind = "invoice"
"""
_PRINTED = r"""name = "{stem} printed"
files = ["{stem} *.pdf"]
kind = "pdf"
record = "purchases"
header = ["Description", "Batch", "Packs", "Net"]
date_order = "dmy"
find = [
    'Invoice (?P<document_no>\d+) of (?P<document_on>\S+)',
    'Your order (?P<order_no>\S+)',
    'Delivered (?P<delivered_on>\S+)',
]
[columns]
"Description" = "description"
"Batch" = "lot"
"Use before" = "expires_on"
"Packs" = "packs"
"Price" = "pack_price_gbp"
"Net" = "line_net_gbp"
[constants]
supplier = "{supplier}"
vat_pct = "{vat_pct}"
[proof]
net = "Goods and carriage"
vat = "VAT*"
total = "To pay"
"""


def pick_last(history: History) -> Mapping[str, Sequence[Document]]:
    """Return the invoices, by supplier, that come as papers of their own: the last ones."""
    return {
        supplier: [
            document
            for document in sorted(
                history.store.documents, key=lambda each: (each.document_on, each.document_no)
            )
            if document.supplier == supplier and document.document_type == "invoice"
        ][-count:]
        for supplier, count in _COUNTS.items()
    }


def write_last(folder: Path, last: Mapping[str, Sequence[Document]]) -> None:
    """Write them: trims and boards in UBL, fixings in CII, resins printed with their batches."""
    for document in last[TRIMS_AND_BOARDS]:
        _path(folder, document, "xml").write_bytes(write_ubl(_as_invoice(document)))
    for document in last[FIXINGS]:
        _path(folder, document, "xml").write_bytes(write_cii(_as_invoice(document)))
    for document in last[RESINS]:
        _path(folder, document, "pdf").write_bytes(print_page(list(_lay_out(document))))


def map_last() -> dict[str, str]:
    """Return the mappings as TOML, by file stem."""
    return {
        f"{stem} {'printed' if supplier == RESINS else 'electronic'}": (
            _PRINTED if supplier == RESINS else _ELECTRONIC
        ).format(stem=stem, supplier=supplier, vat_pct=VAT_PCT)
        + "\n"
        + map_descriptions(supplier)
        for supplier, stem in _STEMS.items()
    }


def _path(folder: Path, document: Document, ending: str) -> Path:
    return folder / f"{_STEMS[document.supplier]} {document.document_no}.{ending}"


def _as_invoice(document: Document) -> Invoice:
    """Return the document as an electronic invoice says it: carriage is a charge beside lines."""
    sold = [
        (line.material, Sold(describe(document, line), line.packs, line.price_gbp, line.net_gbp))
        for line in document.lines
    ]
    return Invoice(
        document.supplier,
        document.document_no,
        document.document_on,
        _order_of(document),
        [line for material, line in sold if material],
        [line for material, line in sold if not material],
    )


def _order_of(document: Document) -> str:
    return next((line.order_no for line in document.lines if line.order_no), "")


def _lay_out(document: Document) -> Iterator[Text]:
    """Yield the texts of a printed invoice from top to bottom."""
    invoice = _as_invoice(document)
    order = f"Your order {invoice.order_no}" if invoice.order_no else ""
    titles = (
        document.supplier, f"to {FIRM}", "",
        f"Invoice {document.document_no} of {document.document_on:%d/%m/%Y}",
        order, f"Delivered {document.delivered_on:%d/%m/%Y}", "",
    )  # fmt: skip
    gross = invoice.net_gbp + invoice.vat_gbp
    totals = (
        ("Goods and carriage", invoice.net_gbp),
        (f"VAT {VAT_PCT} %", invoice.vat_gbp),
        ("To pay", gross),
    )
    rows = [_HEADING, *(_cells(document, at) for at in range(len(document.lines)))]
    up = _TOP
    for title in titles:
        if title:
            yield Text(_LEFT, up, title)
        up -= _STEP
    for row in rows:
        yield from _lay_row(row, up)
        up -= _STEP
    for label, amount in totals:
        up -= _STEP
        yield Text(_PLACES[2], up, label)
        yield end_at(_PLACES[-1], up, f"{amount:,.2f}")


def _cells(document: Document, at: int) -> Sequence[str]:
    line = document.lines[at]
    expires = f"{line.expires_on:%d/%m/%Y}" if line.expires_on else ""
    figures = (str(line.packs), f"{line.price_gbp:,.2f}", f"{line.net_gbp:,.2f}")
    return (describe(document, line), line.lot, expires, *figures)


def _lay_row(row: Sequence[str], up: float) -> Iterator[Text]:
    for column, (place, text) in enumerate(zip(_PLACES, row, strict=True)):
        if text:
            yield Text(place, up, text) if column < 3 else end_at(place, up, text)
