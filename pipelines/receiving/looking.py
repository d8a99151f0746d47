"""A file that no mapping fits, looked at: its sheets, where a heading may stand, what is below."""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from pipelines.receiving import canonical
from pipelines.receiving.csv_files import decode_text, guess_delimiter, read_csv_text
from pipelines.receiving.file_kinds import FileKind, tell_kind
from pipelines.receiving.handed_over import RawRow, RawSheet, fold
from pipelines.receiving.headings import HEADING_WITHIN_ROWS, Heading, read_heading
from pipelines.receiving.limits import check_archive, check_size, measure_sheets
from pipelines.receiving.pdf_lines import as_sheet, lay_lines
from pipelines.receiving.pdf_text import read_pdf_text
from pipelines.receiving.workbooks import read_workbook
from pipelines.receiving.written_figures import read_amount

_LEAST_COLUMNS = 2


@dataclass(frozen=True)
class SeenColumn:
    """A column: its heading as written, and its filled cells below."""

    heading: str
    cells: tuple[str, ...]


@dataclass(frozen=True)
class SeenSheet:
    """
    A sheet: its name ("" for a CSV), its filled rows, and the table that seems to stand on it.

    `heading_row_no` is 0 where no row looks like a heading; then `labels` are the cells that have
    a cell filled beside them, as on a form.
    """

    name: str
    row_count: int
    heading_row_no: int
    columns: tuple[SeenColumn, ...]
    labels: tuple[str, ...]


def look_at(path: Path, name: str) -> tuple[SeenSheet, ...]:
    """
    Return the sheets of a file that hold rows, as they seem to be; nothing is decided by it.

    Returns none where the file is no text table, workbook or PDF. Raises Unreadable where it is
    damaged or too large, or a PDF without text; OSError where it is not there.
    """
    check_size(path)
    kind = tell_kind(path, name)
    if kind is FileKind.TEXT:
        text = decode_text(path.read_bytes())
        sheets = [read_csv_text(text, guess_delimiter(text))]
    elif kind is FileKind.WORKBOOK:
        check_archive(path)
        measure_sheets(path)
        sheets = read_workbook(path)
    elif kind is FileKind.PDF:
        sheets = [as_sheet(lay_lines(read_pdf_text(path).words))]
    else:
        return ()
    return tuple(_see(sheet) for sheet in sheets if sheet.rows and not _is_passed_over(sheet))


def _is_passed_over(sheet: RawSheet) -> bool:
    return fold(sheet.name) in canonical.PASSED_OVER


def _see(sheet: RawSheet) -> SeenSheet:
    filled = sum(any(row.cells) for row in sheet.rows)
    heading = _guess_heading(sheet)
    if heading is None:
        return SeenSheet(sheet.name, filled, 0, (), tuple(_find_labels(sheet.rows)))
    below = sheet.rows[heading.at + 1 :]
    columns = tuple(
        SeenColumn(shown, _cells_of(below, place))
        for place, shown in enumerate(heading.shown)
        if heading.folded[place]
    )
    return SeenSheet(sheet.name, filled, sheet.rows[heading.at].row_no, columns, ())


def _guess_heading(sheet: RawSheet) -> Heading | None:
    """Return the first row with the most words of their own above a row filled as widely."""
    best, at = _LEAST_COLUMNS - 1, -1
    rows = sheet.rows[: HEADING_WITHIN_ROWS + 1]
    for place in range(min(len(rows) - 1, HEADING_WITHIN_ROWS)):
        words = [cell for cell in rows[place].cells if cell is not None]
        is_wordy = all(read_amount(cell) is None for cell in words)
        is_distinct = len({fold(cell) for cell in words}) == len(words)
        below = sum(cell is not None for cell in rows[place + 1].cells)
        if is_wordy and is_distinct and best < len(words) <= below * 2 and below >= _LEAST_COLUMNS:
            best, at = len(words), place
    return read_heading(sheet, at) if at >= 0 else None


def _cells_of(rows: Sequence[RawRow], place: int) -> tuple[str, ...]:
    cells = (row.cells[place] if place < len(row.cells) else None for row in rows)
    return tuple(cell for cell in cells if cell is not None)


def _find_labels(rows: Sequence[RawRow]) -> list[str]:
    """Return texts with a filled cell to their right, each once."""
    found: dict[str, None] = {}
    for row in rows:
        for cell, beside in zip(row.cells, row.cells[1:], strict=False):
            if cell is not None and beside is not None and read_amount(cell) is None:
                found[" ".join(cell.split()).rstrip(": ")] = None
    return list(found)
