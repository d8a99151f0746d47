"""
The independent count of what a file holds. It shares no code with the readers.

For a table the unit is the row, up to the last filled one. For a wide sheet it is the group of
filled cells that makes one record, and every row that makes none. For a form it is the group of
filled cells that makes one record, found from the cells that the mapping names.
"""

import re
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from fnmatch import fnmatchcase
from pathlib import Path

import polars as pl

from pipelines.receiving.labels import Label
from pipelines.receiving.mappings import Part, SourceMapping
from pipelines.receiving.workbook_xml import (
    list_sheets,
    place_cells,
    read_rows,
    read_shared,
    read_text,
)

Line = dict[int, str]
"""Column (from 0) -> text of the filled cells of one row."""

_FIRST_ROWS = 30
_NO_TEXT = b"\x1f"
"""A byte that stands in no text."""


def count_csv(text: str, delimiter: str, mapping: SourceMapping) -> int:
    """Return the units in a CSV text."""
    return _count(_read_csv_lines(text, delimiter), mapping)


def count_lines(content: bytes, delimiter: str) -> int | None:
    """Return the rows of a CSV up to the last filled one; None where a row may span two lines."""
    filled = content.rstrip(f" \t\r\n{delimiter}".encode())
    if b"\r" in filled and filled.count(b"\r") != filled.count(b"\r\n"):
        return None
    if b'"' in filled and not _closes_quotes_in_lines(filled):
        return None
    return filled.count(b"\n") + 1


def _closes_quotes_in_lines(content: bytes) -> bool:
    if _NO_TEXT in content:
        return False
    lines = pl.read_csv(
        content,
        has_header=False,
        separator=_NO_TEXT.decode(),
        quote_char=None,
        schema={"line": pl.String()},
    )
    marks = lines.to_series().str.count_matches('"', literal=True)
    return bool((marks % 2 == 0).all())


def count_workbook(path: Path, mappings: Mapping[str, SourceMapping | None]) -> dict[str, int]:
    """Return sheet -> units of the sheets named in `mappings`; with None it counts rows."""
    with zipfile.ZipFile(path) as archive:
        shared = read_shared(archive)
        return {
            sheet: _count(_read_sheet_lines(archive, member, shared), mappings[sheet])
            for sheet, member in list_sheets(archive)
            if sheet in mappings
        }


def _count(lines: Iterable[Line], mapping: SourceMapping | None) -> int:
    if mapping is None or mapping.kind == "table":
        return max((number for number, line in enumerate(lines, start=1) if line), default=0)
    if mapping.kind == "form":
        form = list(lines)
        return sum(_count_in_form(form, part, mapping) for part in mapping.parts)
    return _count_groups(list(lines), mapping)


def _count_groups(lines: list[Line], mapping: SourceMapping) -> int:
    while lines and not lines[-1]:
        lines.pop()
    wanted = {_plain(name) for name in mapping.header}
    start = next(
        (n for n, line in enumerate(lines[:_FIRST_ROWS]) if wanted <= _names(line)), len(lines)
    )
    if start == len(lines):
        return len(lines)
    heading = {column: _plain(text) for column, text in lines[start].items()}
    return start + 1 + sum(_units(line, heading, mapping) for line in lines[start + 1 :])


def _units(line: Line, heading: Line, mapping: SourceMapping) -> int:
    named = {heading.get(column, ""): text for column, text in line.items()}
    repeated = {column: _plain(text) for column, text in line.items()} == heading
    if repeated or not line or _is_total(named, mapping):
        return 1
    return max(1, sum(_records(named, part) for part in mapping.parts))


def _records(named: dict[str, str], part: Part) -> int:
    if not any(name in named for name in part.cells):
        return 0
    listed = named.get(part.list_heading) if part.list_heading else None
    pieces = re.split("[,;\n]", listed) if listed else []
    return max(1, sum(1 for piece in pieces if piece.strip()))


def _is_total(named: dict[str, str], mapping: SourceMapping) -> bool:
    return mapping.totals is not None and all(
        fnmatchcase(_plain(named.get(name, "")), pattern)
        for name, pattern in mapping.totals.where.items()
    )


def _count_in_form(lines: list[Line], part: Part, mapping: SourceMapping) -> int:
    if part.header:
        return _count_block(lines, part)
    known = {label.text for each in mapping.parts for label in each.labels}
    known |= {label.text for label in mapping.shared}
    return int(any(_names_value(lines, label, known) for label in part.labels))


def _count_block(lines: list[Line], part: Part) -> int:
    wanted = {_plain(name) for name in part.header}
    start = next((n for n, line in enumerate(lines) if wanted <= _names(line)), len(lines))
    if start == len(lines):
        return 0
    columns = {column for column, text in lines[start].items() if _plain(text) in part.cells}
    count = 0
    for line in lines[start + 1 :]:
        cells = [_plain(text) for column, text in line.items() if column in columns]
        if not cells or (part.ends_at and any(fnmatchcase(each, part.ends_at) for each in cells)):
            break
        count += 1
    return count


def _names_value(lines: list[Line], label: Label, known: set[str]) -> bool:
    for n, line in enumerate(lines):
        for column, text in line.items():
            head, colon, tail = text.partition(":")
            if label.cell == "same" and colon and _plain(head) == label.text:
                return bool(tail.strip())
            if label.cell != "same" and re.sub("[: ]+$", "", _plain(text)) == label.text:
                below = label.cell == "below"
                beside = lines[n + label.away : n + label.away + 1] if below else [line]
                value = beside[0].get(column + (0 if below else label.away)) if beside else None
                return value is not None and re.sub("[: ]+$", "", _plain(value)) not in known
    return False


def _names(line: Line) -> set[str]:
    return {_plain(text) for text in line.values()}


def _plain(text: str) -> str:
    return re.sub(r"[\s_]+", " ", text).strip().casefold()


def _keep_filled(cells: Iterable[str]) -> Line:
    return {column: cell for column, cell in enumerate(cells) if cell.strip()}


def _read_csv_lines(text: str, delimiter: str) -> Iterator[Line]:
    """Yield the records of a CSV text: a quote opens a cell, "" inside it is a quote mark."""
    plain_record = re.compile(r'([^"\r\n]*)(?:\r\n|\r|\n|\Z)')
    cell = re.compile(
        r'(?:"([^"]*(?:""[^"]*)*)(?:"|\Z))?'
        rf"([^{re.escape(delimiter)}\r\n]*)({re.escape(delimiter)}|\r\n|\r|\n|\Z)"
    )
    at = 0
    while at < len(text):
        if found := plain_record.match(text, at):
            cells, at = found[1].split(delimiter), found.end()
        else:
            cells, at = _read_quoted_record(text, at, cell, delimiter)
        yield _keep_filled(cells)


def _read_quoted_record(
    text: str, at: int, cell: re.Pattern[str], delimiter: str
) -> tuple[list[str], int]:
    cells = []
    while found := cell.match(text, at):
        cells.append((found[1] or "").replace('""', '"') + found[2])
        at = found.end()
        if found[3] != delimiter:
            break
    return cells, at


def _read_sheet_lines(archive: zipfile.ZipFile, member: str, shared: list[str]) -> Iterator[Line]:
    """Yield the rows of a sheet from row 1, rows that the file leaves out too."""
    at = 0
    for row_no, row in read_rows(archive, member):
        yield from ({} for _ in range(at + 1, row_no))
        at = row_no
        texts = ((column, read_text(cell, shared)) for column, cell in place_cells(row))
        yield {column: text for column, text in texts if text.strip()}
