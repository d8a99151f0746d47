"""The workbook of rows that could not be read, to be mended and handed in again."""

import json
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import polars as pl

from reports.workbook import Workbook, write_row
from schemas.records import RECORDS

RECEIPT_MARK = "receipt of the row"
MARKS = (
    "from file", "from sheet", "from row", RECEIPT_MARK, "column in doubt", "value in doubt",
    "why", "what would mend it",
)  # fmt: skip
"""Columns that stand right of a row; a reader takes from them which row is answered."""

_RECEIPT = re.compile(r"(\d+)(?: part (\d+))?")

_WIDTHS = (28, 14, 9, 12, 20, 20, 44, 44)
_READ_ME = (
    "Rows that could not be read: mend them here",
    "Each sheet holds rows of one kind, in our columns; nothing of a row is lost.",
    (
        "Right of each row stand its file, sheet and row, what is in doubt, why, and what would "
        "mend it."
    ),
    "Change the row itself, at the left, and leave what stands right of it as it is: it tells",
    "which row is answered. Rows that you can't mend yet you may leave as they are.",
    "Save the workbook and drop it into the inbox; then run again.",
    "Mend a file that is wrong throughout at its source, and hand the whole file in again.",
)


def write_reject_workbook(rejects: pl.DataFrame, path: Path) -> Path:
    """
    Write the workbook and return its path.

    `rejects`: one row a fault, with file_name, receipt_no, sheet, row_no, part_no, record,
    column_name, value, reason, remedy and columns_text (the row in the record's own columns, JSON
    of column to text). Faults of one row stand in one row of the workbook, one under another.
    Same rows, same bytes.
    """
    by_record = rejects.partition_by("record", maintain_order=True, as_dict=True)
    with Workbook(path) as book:
        book.add_read_me(_READ_ME)
        for (record,), rows in by_record.items():
            _add_record(book, str(record), rows)
    return path


def read_mark(cells: Mapping[str, str | None]) -> tuple[int, str, int, int] | None:
    """
    Return which row a mended row answers: receipt_no, sheet, row_no, part_no.

    None where the cells (heading to text) do not come from a workbook of rejects.
    """
    told = _RECEIPT.fullmatch(cells.get(RECEIPT_MARK) or "")
    row_no = cells.get("from row") or ""
    if told is None or not row_no.isdigit():
        return None
    return int(told[1]), cells.get("from sheet") or "", int(row_no), int(told[2] or 1)


def _add_record(book: Workbook, record: str, rows: pl.DataFrame) -> None:
    places = ["file_name", "sheet", "row_no", "part_no"]
    received = [each.to_dicts() for each in rows.partition_by(places, maintain_order=True)]
    texts = [_columns(faults[0]["columns_text"]) for faults in received]
    heads = RECORDS[record].columns
    sheet = book.add_sheet(record[:31], [*(max(12, len(head) + 2) for head in heads), *_WIDTHS])
    write_row(sheet, 0, [*heads, *MARKS], book.head)
    sheet.freeze_panes(1, 0)
    for number, (text, faults) in enumerate(zip(texts, received, strict=True), start=1):
        write_row(sheet, number, [text.get(head) for head in heads], book.text)
        marks = [""] * len(heads) + _marks(faults)
        write_row(sheet, number, marks, book.soft)


def _columns(columns_text: str | None) -> dict[str, str | None]:
    found: dict[str, str | None] = json.loads(columns_text) if columns_text else {}
    return found


def _marks(faults: list[dict[str, Any]]) -> list[str]:
    first = faults[0]
    part = f" part {first['part_no']}" if first["part_no"] > 1 else ""
    receipt = f"{first['receipt_no']}{part}"
    place = [first["file_name"] or "", first["sheet"] or "", str(first["row_no"]), receipt]
    said = ("column_name", "value", "reason", "remedy")
    return place + ["\n".join(str(fault[name] or "") for fault in faults).strip() for name in said]
