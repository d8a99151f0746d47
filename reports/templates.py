"""Blank workbooks for the records: hints, headings, and drop-downs for closed lists."""

from collections.abc import Sequence
from pathlib import Path

import polars as pl
from xlsxwriter.worksheet import Worksheet

from reports.workbook import LISTS, Workbook, write_row
from schemas.columns import describe_column
from schemas.record import Record
from schemas.records import RECORDS

_HINT_ROW, _HEAD_ROW, _FIRST_ROW = 0, 1, 2
_LAST_ROW = 5_000
_READ_ME = (
    "A column with a double line under its name is required; all others may stay blank.",
    "A blank says nothing: leave out what is not known, and never write 0 for it.",
    "Dates as 2026-03-01. Money in pounds ex VAT. A quantity is in the unit of its row.",
    "Keep the row of column names as it is. The row above it holds hints and may be deleted.",
    "Save the workbook and drop it into the inbox.",
)


def write_blank_workbooks(folder: Path) -> list[Path]:
    """Write a blank workbook for every record into `folder`; return their paths, by record name."""
    return [
        write_blank_workbook(record, folder / f"{name}.xlsx") for name, record in RECORDS.items()
    ]


def write_blank_workbook(record: Record, path: Path) -> Path:
    """Write the blank workbook of one record and return its path. Same record, same bytes."""
    with Workbook(path) as book:
        book.add_read_me((f"{record.name}: {record.says}", *_READ_ME))
        widths = [max(14, len(name) + 3) for name in record.columns]
        sheet = book.add_sheet(record.name, widths)
        write_row(sheet, _HINT_ROW, [hint_of(record, name) for name in record.columns], book.soft)
        for number, name in enumerate(record.columns):
            look = book.required if name in record.required else book.head
            sheet.write_string(_HEAD_ROW, number, name, look)
        sheet.freeze_panes(_FIRST_ROW, 0)
        sheet.set_row(_HINT_ROW, 75)
        _add_lists(book, sheet, record)
    return path


def hint_of(record: Record, name: str) -> str:
    """Return what stands above a column: whether it is required, and what goes in."""
    required = "Required. " if name in record.required else ""
    column = describe_column(record.name, name)
    written = " As 2026-03-01." if column["dtype"] == pl.Date else ""
    return f"{required}{column['description']}{written}"


def closed_list(record: Record, name: str) -> Sequence[str]:
    """Return the words that a column may hold; empty where any text may stand."""
    for check in describe_column(record.name, name)["checks"]:
        words: Sequence[str] = check.statistics.get("allowed_values", ())
        if words:
            return words
    return ()


def _add_lists(book: Workbook, sheet: Worksheet, record: Record) -> None:
    closed = [name for name in record.columns if closed_list(record, name)]
    if not closed:
        return
    lists = book.add_sheet(LISTS, [20] * len(closed))
    for number, name in enumerate(closed):
        words = closed_list(record, name)
        letter = chr(ord("A") + number)
        lists.write_string(0, number, name, book.head)
        for row, word in enumerate(words, start=1):
            lists.write_string(row, number, word, book.text)
        place = f"={LISTS}!${letter}$2:${letter}${len(words) + 1}"
        book.define_name(f"list_of_{name}", place)
        _offer(sheet, record.columns.index(name), f"=list_of_{name}")


def _offer(sheet: Worksheet, column: int, source: str) -> None:
    sheet.data_validation(
        _FIRST_ROW, column, _LAST_ROW, column,
        {
            "validate": "list",
            "source": source,
            "error_type": "warning",
            "error_title": "Not in the list",
            "error_message": "Take a word from the list.",
        },
    )  # fmt: skip
