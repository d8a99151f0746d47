"""Papers in PDFs that hold text: read by a mapping, taken only where they prove themselves."""

from collections.abc import Iterator, Sequence
from pathlib import Path

import polars as pl

from pipelines.receiving.handed_over import (
    FaultSort,
    ReadSheet,
    RecordKinds,
    Unreadable,
)
from pipelines.receiving.labels import read_labels
from pipelines.receiving.mappings import SourceMapping
from pipelines.receiving.pdf_counting import count_lines
from pipelines.receiving.pdf_lines import Line, as_sheet, lay_lines
from pipelines.receiving.pdf_proof import find_proof
from pipelines.receiving.pdf_rules import PdfRules
from pipelines.receiving.pdf_tables import PdfItem, PdfTable, is_heading
from pipelines.receiving.pdf_text import TYPE_IT, PdfText, read_pdf_text
from pipelines.receiving.record_rows import RecordRows
from pipelines.receiving.splitting import match_groups

_WRITE_ONE = f'write a mapping with kind = "pdf" for it, or {TYPE_IT}'


def read_pdf(
    path: Path, mapping: SourceMapping | None, records: RecordKinds
) -> tuple[ReadSheet, tuple[str, ...]]:
    """
    Return the rows of an invoice, or a statement of account, in a PDF, and notes for a person.

    Every line of text is counted.

    Raises Unreadable where no mapping is for it, where it holds no text, and where lines, VAT and
    total do not prove each other to the penny: then no line of it is taken.
    """
    text = read_pdf_text(path)
    if mapping is None:
        what = "a PDF that no mapping fits, which is kept but not read"
        raise Unreadable(what, _WRITE_ONE, sort=FaultSort.TO_TYPE_IN)
    if mapping.pdf is None:
        raise Unreadable(
            f'the mapping "{mapping.name}" fits this file\'s name, and is for a {mapping.kind}',
            'narrow its files patterns, or write a mapping with kind = "pdf"',
        )
    lines = lay_lines(text.words)
    table = _sort_lines(lines, mapping, mapping.pdf)
    frame = _frame(table.items, _read_titles(lines, mapping, mapping.pdf), mapping, records)
    rows = {mapping.parts[0].record: frame}
    sheet = ReadSheet("", rows, tuple(table.skipped), count_lines(text.words))
    return sheet, tuple(_notes(text))


def _sort_lines(lines: Sequence[Line], mapping: SourceMapping, rules: PdfRules) -> PdfTable:
    if mapping.header and not any(is_heading(line, mapping.header) for line in lines):
        names = ", ".join(f'"{name}"' for name in mapping.header)
        raise Unreadable(
            f"no line of the PDF has the headings {names}",
            "name the headings as they stand in one line, or change the mapping",
            sort=FaultSort.COLUMN_MISSING,
        )
    (part,) = mapping.parts
    mark = mapping.amounts.mark
    proof = find_proof(lines, rules, mark)
    types = mapping.words.get("document_type", {})
    table = PdfTable(mapping.header, rules, part, mark, proof, mapping.skips, types)
    table.sort(lines)
    proof.check([*(item.amount for item in table.items), *table.passed])
    return table


def _read_titles(lines: Sequence[Line], mapping: SourceMapping, rules: PdfRules) -> dict[str, str]:
    """Return our column -> what labels and patterns say for the whole document."""
    labelled = read_labels(as_sheet(lines).rows, mapping.shared, "")
    found = {cell.label.column: cell.value for cell in labelled if cell.value is not None}
    for pattern in rules.find:
        for line in lines:
            for column, value in (match_groups(line.text, pattern) or {}).items():
                if found.setdefault(column, value) != value:
                    raise Unreadable(
                        f'the PDF says "{found[column]}" and "{value}" for {column}',
                        "hand in one invoice a PDF, or narrow the pattern in the mapping",
                    )
    return found


def _frame(
    items: Sequence[PdfItem],
    titles: dict[str, str],
    mapping: SourceMapping,
    records: RecordKinds,
) -> pl.DataFrame:
    (part,) = mapping.parts
    record = records[part.record]
    filled = {*titles, *part.constants}.union(*(item.values for item in items))
    missing = [name for name in record.required if name not in filled]
    if missing:
        raise Unreadable(
            f"the PDF does not say {' and '.join(missing)}",
            "name the label or the pattern in the mapping that tells it",
            sort=FaultSort.COLUMN_MISSING,
        )
    columns = [name for name in record.columns if name in filled - {*part.constants}]
    gathered = RecordRows(columns)
    for item in items:
        values = {**titles, **item.values}
        gathered.add(item.row_no, 1, [values.get(name) for name in columns], item.row_text, None)
    return gathered.frame("", record, mapping, part)


def _notes(text: PdfText) -> Iterator[str]:
    if text.unplaced_count:
        yield "some text of the PDF is turned or drawn, and is passed over; its totals agree"
