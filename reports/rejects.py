"""The workbook of rows that could not be read, to be mended and handed in again."""

import json
from pathlib import Path
from typing import Any

import polars as pl

from reports.workbook import Workbook, write_row

MARKS = (
    "from file", "from sheet", "from row", "column in doubt", "value in doubt", "why",
    "what would mend it",
)  # fmt: skip
"""Columns that stand right of a row as received; a reader passes them over."""

_OTHER = "other rows"
_WIDTHS = (28, 14, 9, 20, 20, 44, 44)
_READ_ME = (
    "Rows that could not be read: mend them here",
    "Each sheet holds rows of one kind as they were received; nothing of them is lost.",
    (
        "Right of each row stand its file, sheet and row, what is in doubt, why, and what would "
        "mend it."
    ),
    "Change the row itself, at the left. Rows that you can't mend yet you may leave as they are.",
    "Save the workbook and drop it into the inbox; then run again.",
    "Mend a file that is wrong throughout at its source, and hand the whole file in again.",
)


def write_reject_workbook(rejects: pl.DataFrame, path: Path) -> Path:
    """
    Write the workbook and return its path.

    `rejects`: one row a fault, with file_name, sheet, row_no, part_no, record, column_name, value,
    reason, remedy and row_text (the row as received, JSON of header to text). Faults of one row
    stand in one row of the workbook, one under another. Same rows, same bytes.
    """
    by_record = rejects.with_columns(pl.col("record").fill_null(_OTHER)).partition_by(
        "record", maintain_order=True, as_dict=True
    )
    with Workbook(path) as book:
        book.add_read_me(_READ_ME)
        for (record,), rows in by_record.items():
            _add_record(book, str(record), rows)
    return path


def _add_record(book: Workbook, record: str, rows: pl.DataFrame) -> None:
    places = ["file_name", "sheet", "row_no", "part_no"]
    received = [each.to_dicts() for each in rows.partition_by(places, maintain_order=True)]
    texts = [_received(faults[0]["row_text"]) for faults in received]
    heads = list(dict.fromkeys(head for text in texts for head in text))
    sheet = book.add_sheet(record[:31], [*(max(12, len(head) + 2) for head in heads), *_WIDTHS])
    write_row(sheet, 0, [*heads, *MARKS], book.head)
    sheet.freeze_panes(1, 0)
    for number, (text, faults) in enumerate(zip(texts, received, strict=True), start=1):
        write_row(sheet, number, [text.get(head) for head in heads], book.text)
        marks = [""] * len(heads) + _marks(faults)
        write_row(sheet, number, marks, book.soft)


def _received(row_text: str | None) -> dict[str, str | None]:
    if not row_text:
        return {}
    return {str(head): None if text is None else str(text) for head, text in _pairs(row_text)}


def _pairs(row_text: str) -> list[tuple[Any, Any]]:
    held = json.loads(row_text)
    return list(held.items()) if isinstance(held, dict) else list(enumerate(held, start=1))


def _marks(faults: list[dict[str, Any]]) -> list[str]:
    first = faults[0]
    place = [first["file_name"] or "", first["sheet"] or "", str(first["row_no"])]
    said = ("column_name", "value", "reason", "remedy")
    return place + ["\n".join(str(fault[name] or "") for fault in faults).strip() for name in said]
