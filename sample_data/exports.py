"""The suppliers' own line exports: three layouts, three date orders, three encodings."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from pathlib import Path

from sample_data.firm import BY_NAME as MATERIAL
from sample_data.firm import FIXINGS, MATERIALS, RESINS, TRIMS_AND_BOARDS, format_thousandths
from sample_data.sheets import Row, write_table
from sample_data.store import Document, Line
from sample_data.work import History

CARRIAGE = {
    RESINS: "Carriage to site or yard",
    TRIMS_AND_BOARDS: "Delivery by our lorry",
    FIXINGS: "Parcel charge",
}
MONEY_ONLY = "Price allowance, your call"


@dataclass(frozen=True)
class Layout:
    """One supplier's export: its file, header, lines, totals and the mapping to our columns."""

    supplier: str
    stem: str
    encoding: str
    separator: str
    titles: Callable[[date], Sequence[Row]]
    header: tuple[str, ...]
    fill: Callable[[Document, int, Line], Row]
    total_at: tuple[str, str]
    mapping: str


def _dmy(day: date | None) -> str:
    return f"{day:%d/%m/%Y}" if day else ""


def _mdy(day: date | None) -> str:
    return f"{day:%m/%d/%Y}" if day else ""


def describe(document: Document, line: Line) -> str:
    """Return the wording under which a supplier sells a line."""
    if not line.material:
        return CARRIAGE[document.supplier]
    return MATERIAL[line.material].words if line.packs else MONEY_ONLY


def _fill_resins(document: Document, line_no: int, line: Line) -> Row:
    return (
        document.document_no, "CR" if document.document_type == "credit" else "INV",
        _dmy(document.document_on), line_no, describe(document, line),
        line.packs or "", f"{line.price_gbp:.2f}" if line.packs else "", f"{line.net_gbp:.2f}",
        20, _dmy(document.delivered_on), line.order_no, line.lot, _dmy(line.expires_on),
        document.credits_document_no,
    )  # fmt: skip


def _fill_trims(document: Document, _: int, line: Line) -> Row:
    return (
        document.document_on.isoformat(), document.document_no,
        "Credit note" if document.document_type == "credit" else "Invoice",
        describe(document, line), line.packs or "",
        f"{line.price_gbp:.2f}" if line.packs else "", f"{line.net_gbp:.2f}",
        line.order_no, document.credits_document_no,
    )  # fmt: skip


def _fill_fixings(document: Document, line_no: int, line: Line) -> Row:
    return (
        _mdy(document.document_on), document.document_no, line_no, describe(document, line),
        f"{line.price_gbp:.2f}", line.packs, f"{line.net_gbp:.2f}", line.order_no,
    )  # fmt: skip


LAYOUTS = (
    Layout(
        RESINS, "mossgate lines", "cp1252", ";",
        lambda month: (
            (RESINS,), (f"Sales lines, {month:%B %Y}",), ("All prices in £, VAT not included",), ()
        ),
        ("Document", "Type", "Dated", "Line", "Description", "Qty", "Price £", "Net £", "VAT %",
         "Delivered", "Your order", "Batch", "Use before", "Credits"),
        _fill_resins, ("Description", "Net £"),
        """date_order = "dmy"
header = ["Document", "Dated", "Description", "Net £"]
[columns]
"Document" = "document_no"
"Type" = "document_type"
"Dated" = "document_on"
"Line" = "line_no"
"Description" = "description"
"Qty" = "packs"
"Price £" = "pack_price_gbp"
"Net £" = "line_net_gbp"
"VAT %" = "vat_pct"
"Delivered" = "delivered_on"
"Your order" = "order_no"
"Batch" = "lot"
"Use before" = "expires_on"
"Credits" = "credits_document_no"
[words.document_type]
"CR" = "credit"
"INV" = "invoice"
""",
    ),
    Layout(
        TRIMS_AND_BOARDS, "thornwick invoices", "utf-8-sig", ",",
        lambda month: ((TRIMS_AND_BOARDS, f"Account lines for {month:%Y-%m}"), ()),
        ("Invoice date", "Invoice no", "Kind", "Item", "Lengths or pieces", "Each", "Goods total",
         "Order", "Against invoice"),
        _fill_trims, ("Item", "Goods total"),
        """date_order = "ymd"
header = ["Invoice date", "Invoice no", "Item", "Goods total"]
[columns]
"Invoice date" = "document_on"
"Invoice no" = "document_no"
"Kind" = "document_type"
"Item" = "description"
"Lengths or pieces" = "packs"
"Each" = "pack_price_gbp"
"Goods total" = "line_net_gbp"
"Order" = "order_no"
"Against invoice" = "credits_document_no"
[words.document_type]
"Credit note" = "credit"
"Invoice" = "invoice"
""",
    ),
    Layout(
        FIXINGS, "saltbarrow history", "utf-8", ",",
        lambda month: ((f"Sales history {month:%m/%Y}", "", FIXINGS), ("excluding VAT",), ()),
        ("Date", "Ref", "Row", "Product", "Price", "Packs", "Amount", "Your ref"),
        _fill_fixings, ("Product", "Amount"),
        """date_order = "mdy"
header = ["Date", "Ref", "Product", "Amount"]
[columns]
"Date" = "document_on"
"Ref" = "document_no"
"Row" = "line_no"
"Product" = "description"
"Price" = "pack_price_gbp"
"Packs" = "packs"
"Amount" = "line_net_gbp"
"Your ref" = "order_no"
""",
    ),
)  # fmt: skip


def write_exports(folder: Path, history: History, apart: Sequence[Document]) -> None:
    """
    Write each supplier's lines, a file a month, with the total of the month at its foot.

    The documents `apart` come as papers of their own.
    """
    for layout in LAYOUTS:
        for month_on in history.months:
            documents = [
                document
                for document in history.store.documents
                if document.supplier == layout.supplier
                and document.document_on.replace(day=1) == month_on
                and document not in apart
            ]
            if documents:
                path = folder / f"{layout.stem} {month_on:%Y-%m}.csv"
                write_lines(path, layout, documents, month_on)


def write_lines(path: Path, layout: Layout, documents: list[Document], month_on: date) -> None:
    """Write one export file."""
    rows = [
        layout.fill(document, line_no, line)
        for document in sorted(documents, key=lambda each: (each.document_on, each.document_no))
        for line_no, line in enumerate(document.lines, start=1)
    ]
    total = dict.fromkeys(layout.header, "")
    total[layout.total_at[0]] = "Total"
    net = sum((document.net_gbp for document in documents), Decimal(0))
    total[layout.total_at[1]] = f"{net:.2f}"
    write_table(
        path, layout.header, [*rows, tuple(total.values())],
        titles=layout.titles(month_on), encoding=layout.encoding, separator=layout.separator,
    )  # fmt: skip


def map_exports() -> dict[str, str]:
    """Return the mappings of the three layouts as TOML, by file stem."""
    return {layout.stem: _map_layout(layout) for layout in LAYOUTS}


def _map_layout(layout: Layout) -> str:
    where, sums = layout.total_at
    head = f"""name = "{layout.stem}"
files = ["{layout.stem}*.csv"]
kind = "table"
record = "purchases"
{layout.mapping}[constants]
supplier = "{layout.supplier}"
[totals]
where = {{ "{where}" = "Total*" }}
sums = ["{sums}"]
"""
    return head + "\n" + map_descriptions(layout.supplier)


def map_descriptions(supplier: str) -> str:
    """Return the part of a mapping that says what a supplier's wordings are, as TOML."""
    parts = []
    for material in MATERIALS:
        if material.supplier == supplier:
            size = material.bought_size or format_thousandths(material.pack)
            parts.append(
                f'[descriptions."{material.words}"]\nmaterial = "{material.name}"\n'
                f'pack_size = "{size}"\nunit = "{material.bought_unit or material.base_unit}"\n'
            )
    parts.append(f'[descriptions."{CARRIAGE[supplier]}"]\nline_kind = "carriage"\n')
    if supplier == RESINS:
        parts.append(f'[descriptions."{MONEY_ONLY}"]\nmaterial = "resin"\n')
    return "\n".join(parts)
