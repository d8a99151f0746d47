"""Sheets that people fill in: every cell text, the same bytes every time."""

from collections.abc import Sequence
from datetime import UTC, datetime
from pathlib import Path
from typing import Self

import xlsxwriter
from xlsxwriter.format import Format
from xlsxwriter.worksheet import Worksheet

READ_ME = "read me"
LISTS = "lists"
"""Sheets of these names hold no records, and a reader passes them over."""

_CREATED = datetime(2020, 1, 1, tzinfo=UTC).replace(tzinfo=None)
_PLAIN = {
    "strings_to_formulas": False,
    "strings_to_urls": False,
    "strings_to_numbers": False,
}


class Workbook:
    """A workbook to be filled in or mended; use it in a `with`, it is written at the end."""

    def __init__(self, path: Path) -> None:
        """Start the workbook that will be written to `path`."""
        self._book = xlsxwriter.Workbook(str(path), _PLAIN)
        self._book.set_properties({"created": _CREATED})
        self.text = self._format()
        self.figure = self._format(num_format="General")
        self.soft = self._format(font_color="#4B5A62", text_wrap=True)
        self.head = self._format(bold=True, bottom=1)
        self.required = self._format(bold=True, bottom=5)

    def _format(self, **look: object) -> Format:
        return self._book.add_format({"num_format": "@", "valign": "top", **look})

    def __enter__(self) -> Self:
        """Return the workbook."""
        return self

    def __exit__(self, *fault: object) -> None:
        """Write the file."""
        self._book.close()

    def add_sheet(self, name: str, widths: Sequence[int]) -> Worksheet:
        """Return a new sheet; its columns are text and `widths` letters wide."""
        sheet = self._book.add_worksheet(name)
        for number, width in enumerate(widths):
            sheet.set_column(number, number, width, self.text)
        return sheet

    def add_read_me(self, lines: Sequence[str]) -> None:
        """Add the sheet that says what to do, a line a row."""
        sheet = self.add_sheet(READ_ME, [100])
        for row, line in enumerate(lines):
            sheet.write_string(row, 0, line, self.head if row == 0 else self.soft)

    def define_name(self, name: str, place: str) -> None:
        """Give a name to a range of cells, for a drop-down."""
        self._book.define_name(name, place)


def write_row(sheet: Worksheet, row: int, texts: Sequence[str | None], look: Format) -> None:
    """Write a row of text cells; a text that starts with = + - @ stays text; blanks stay blank."""
    for number, text in enumerate(texts):
        if text:
            sheet.write_string(row, number, text, look)
