"""How large a workbook is, and what in it a person does not see, before it is read."""

import zipfile
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import NamedTuple

from pipelines.receiving.workbook_xml import (
    counts_from_1904,
    is_set,
    is_unworked,
    list_hidden_columns,
    list_sheets,
    place_cells,
    read_rows,
)

_LINKS = "xl/externalLinks/"


class SheetSize(NamedTuple):
    """
    The last row and column (from 1) that hold a cell, and the count of hidden ones up to there.

    `unworked` names the first cell that holds a formula without what it comes to.
    """

    last_row: int
    last_column: int
    hidden_rows: int
    hidden_columns: int
    unworked: str | None

    @property
    def hidden(self) -> str | None:
        """Return what is hidden, in words, None where nothing is."""
        counts = ((self.hidden_rows, "row"), (self.hidden_columns, "column"))
        said = [f"{count} hidden {word}{'s'[: count > 1]}" for count, word in counts if count]
        return " and ".join(said) or None


@dataclass(frozen=True)
class WorkbookSize:
    """The size of each sheet by name, whether days are counted from 1904, and links to others."""

    sheets: Mapping[str, SheetSize]
    counts_from_1904: bool
    links_out: bool


def measure_workbook(path: Path) -> WorkbookSize:
    """Return the size of a workbook; raises what a damaged archive or its XML raises."""
    with zipfile.ZipFile(path) as archive:
        sheets = {sheet: _measure(archive, member) for sheet, member in list_sheets(archive)}
        links_out = any(name.startswith(_LINKS) for name in archive.namelist())
        return WorkbookSize(sheets, counts_from_1904(archive), links_out)


def _measure(archive: zipfile.ZipFile, member: str) -> SheetSize:
    last_row, last_column, hidden_rows, unworked = 0, 0, 0, None
    for row_no, row in read_rows(archive, member):
        columns = []
        for column, cell in place_cells(row):
            columns.append(column + 1)
            if unworked is None and is_unworked(cell):
                unworked = cell.get("r") or f"{column + 1} of row {row_no}"
        if columns:
            last_row, last_column = row_no, max(last_column, *columns)
            hidden_rows += is_set(row, "hidden")
    hidden = set(_hidden_columns(archive, member, last_column))
    return SheetSize(last_row, last_column, hidden_rows, len(hidden), unworked)


def _hidden_columns(archive: zipfile.ZipFile, member: str, last_column: int) -> Iterator[int]:
    for first, last in list_hidden_columns(archive, member):
        yield from range(first, min(last, last_column) + 1)
