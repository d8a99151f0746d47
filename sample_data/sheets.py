"""Writing CSV and XLSX so that the same cells give the same bytes."""

import csv
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from io import StringIO
from pathlib import Path

import xlsxwriter

Cell = str | int | float | Decimal | date | None
Row = Sequence[Cell]

MADE_AT = datetime(2026, 6, 1, tzinfo=UTC)


@dataclass(frozen=True)
class Sheet:
    """A sheet: title lines above the header, the header, the rows."""

    name: str
    header: Sequence[str]
    rows: Sequence[Row]
    titles: Sequence[str] = ()


def write_workbook(path: Path, sheets: Sequence[Sheet]) -> None:
    """Write sheets to an XLSX file with a fixed date of making; dates are real dates."""
    path.parent.mkdir(parents=True, exist_ok=True)
    book = xlsxwriter.Workbook(str(path), {"in_memory": True})
    book.set_properties({"created": MADE_AT, "author": "office"})
    bold = book.add_format({"bold": True})
    day = book.add_format({"num_format": "yyyy-mm-dd"})
    for sheet in sheets:
        page = book.add_worksheet(sheet.name)
        page.set_column(0, len(sheet.header) - 1, 13)
        for row_no, title in enumerate(sheet.titles):
            page.write_string(row_no, 0, title) if title else None
        page.write_row(len(sheet.titles), 0, sheet.header, bold)
        page.freeze_panes(len(sheet.titles) + 1, 1)
        for row_no, row in enumerate(sheet.rows, start=len(sheet.titles) + 1):
            for column, cell in enumerate(row):
                _write_cell(page, (row_no, column), cell, day)
    book.close()


def _write_cell(
    page: xlsxwriter.worksheet.Worksheet,
    place: tuple[int, int],
    cell: Cell,
    day: xlsxwriter.format.Format,
) -> None:
    if cell is None or cell == "":
        return
    if isinstance(cell, date):
        page.write_datetime(*place, cell, day)
    elif isinstance(cell, str):
        page.write_string(*place, cell)
    else:
        page.write_number(*place, float(cell))


def write_table(
    path: Path,
    header: Sequence[str],
    rows: Sequence[Row],
    *,
    titles: Sequence[Row] = (),
    encoding: str = "utf-8",
    separator: str = ",",
) -> None:
    """Write a CSV file; dates ISO, blanks empty, titles above the header."""
    path.parent.mkdir(parents=True, exist_ok=True)
    text = StringIO()
    writer = csv.writer(text, delimiter=separator, lineterminator="\r\n")
    writer.writerows([*titles, header])
    writer.writerows([[_show(cell) for cell in row] for row in rows])
    path.write_bytes(text.getvalue().encode(encoding))


def _show(cell: Cell) -> str:
    if cell is None:
        return ""
    return cell.isoformat() if isinstance(cell, date) else str(cell)


def show_number(thousandths: int | None) -> float | None:
    """Return thousandths as the number that a spreadsheet holds; None stays blank."""
    return None if thousandths is None else thousandths / 1000
