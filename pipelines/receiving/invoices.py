"""Electronic invoices to EN 16931: one document becomes rows of the record `purchases`."""

import json
from collections.abc import Iterator, Sequence
from pathlib import Path

import polars as pl

from pipelines.receiving.handed_over import ReadSheet, RecordKinds, Unreadable
from pipelines.receiving.invoice_documents import Invoice, read_document
from pipelines.receiving.invoice_judging import find_faults
from pipelines.receiving.invoice_rows import InvoiceRow, list_rows, price_one
from pipelines.receiving.invoice_terms import SYNTAX_OF_ROOT
from pipelines.receiving.invoice_xml import parse_xml
from pipelines.receiving.mappings import Part, SourceMapping
from pipelines.receiving.record_rows import RecordRows

SOURCE = "electronic invoice"
RECORD = "purchases"
_PLAIN = SourceMapping(SOURCE, (), "invoice", (), (), (Part(RECORD, {}),))


def read_invoice(
    path: Path, mapping: SourceMapping | None, records: RecordKinds
) -> tuple[ReadSheet, tuple[str, ...]]:
    """
    Return an invoice's rows, and notes on what a person should know of it.

    A document that cannot be right has its reason as the fault of each of its rows; credits are
    negative. `units_counted` is left 0 for the counter. Raises Unreadable where the file is no
    sound XML, where it holds no line, or where the mapping is for another kind of file.
    """
    if mapping is not None and mapping.kind != "invoice":
        raise Unreadable(
            f'the mapping "{mapping.name}" fits this file\'s name, and is for a {mapping.kind}',
            'narrow its files patterns, or write a mapping with kind = "invoice"',
        )
    if RECORD not in records:
        raise Unreadable("an electronic invoice, which is not looked for here", "hand in a table")
    root = parse_xml(path)
    namespace, _, name = str(root.tag)[1:].partition("}")
    document = read_document(root, SYNTAX_OF_ROOT[namespace, name])
    if not document.lines:
        raise Unreadable("the invoice has no line (rule BR-16)", "ask the supplier for a whole one")
    faults = find_faults(document, name)
    frame = _frame(document, faults, mapping or _PLAIN, records)
    return ReadSheet("", {RECORD: frame}, (), 0), tuple(_notes(document))


def _frame(
    document: Invoice, faults: Sequence[str], mapping: SourceMapping, records: RecordKinds
) -> pl.DataFrame:
    rows = list(list_rows(document))
    columns = list(rows[0].cells)
    gathered = RecordRows(columns)
    fault = "; ".join(faults) or None
    for row_no, row in enumerate(rows, 1):
        told = {name: text for name, text in row.told.items() if text is not None}
        gathered.add(
            row_no,
            1,
            [row.cells.get(name) for name in columns],
            json.dumps(told, ensure_ascii=False),
            fault,
        )
    (part,) = mapping.parts
    frame = gathered.frame("", records[RECORD], mapping, part)
    return _fill_meant(frame, rows).with_columns(pl.lit("ymd").alias("date_order"))


def _fill_meant(frame: pl.DataFrame, rows: Sequence[InvoiceRow]) -> pl.DataFrame:
    """Fill kind and unit where the mapping left them: its packs are better known than a code's."""
    kind = pl.coalesce("line_kind", pl.Series([row.kind for row in rows], dtype=pl.String))
    frame = frame.with_columns(kind.alias("line_kind"))
    unknown = pl.col("unit").is_null() & pl.col("pack_size").is_null()
    is_goods = pl.col("line_kind").fill_null("goods") == "goods"
    unit = pl.Series([row.unit for row in rows], dtype=pl.String)
    return frame.with_columns(
        pl.when(unknown & is_goods).then(unit).otherwise("unit").alias("unit")
    )


def _notes(document: Invoice) -> Iterator[str]:
    if len(document.preceding) > 1:
        yield f"it names several preceding invoices: {', '.join(document.preceding)}"
    if document.type_code == "384" and document.preceding:
        yield (
            f"it corrects {', '.join(document.preceding)}: where that one is held too and no "
            "credit takes it back, both count"
        )
    if any(line.price is not None and price_one(line) is None for line in document.lines):
        yield "a price that is not the whole price of one is left blank; the line's net stands"
