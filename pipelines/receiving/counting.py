"""
The independent count of what a file holds. It shares no code with the readers.

For a table the unit is the row, up to the last filled one. For a wide sheet it is the group of
filled cells that makes one record, and every row that makes none.
"""

import posixpath
import re
import zipfile
from collections.abc import Iterable, Iterator, Mapping
from fnmatch import fnmatchcase
from functools import cache
from pathlib import Path
from typing import IO

from lxml import etree

from pipelines.receiving.mappings import Part, SourceMapping

Line = dict[int, str]
"""Column (from 0) -> text of the filled cells of one row."""

_SPACES = (
    "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}",
    "{http://purl.oclc.org/ooxml/spreadsheetml/main}",
)
_SHEET, _ROW, _CELL, _VALUE, _STRING, _TEXT, _READING_AID = (
    tuple(space + name for space in _SPACES)
    for name in ("sheet", "row", "c", "v", "si", "t", "rPh")
)
_RELATION_ID = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_STRICT_ID = "{http://purl.oclc.org/ooxml/officeDocument/relationships}id"
_FIRST_ROWS = 30
_LAST_ROW = 1_048_576


def count_csv(text: str, delimiter: str, mapping: SourceMapping) -> int:
    """Return the units in a CSV text."""
    return _count(_read_csv_lines(text, delimiter), mapping)


def count_workbook(path: Path, mappings: Mapping[str, SourceMapping | None]) -> dict[str, int]:
    """Return sheet -> units of the sheets named in `mappings`; with None it counts rows."""
    with zipfile.ZipFile(path) as archive:
        shared = _read_shared(archive)
        return {
            sheet: _count(_read_sheet_lines(archive, member, shared), mappings[sheet])
            for sheet, member in _list_sheets(archive)
            if sheet in mappings
        }


def measure_workbook(path: Path) -> dict[str, tuple[int, int]]:
    """Return sheet -> (last row, last column) that hold a cell, filled or not."""
    with zipfile.ZipFile(path) as archive:
        return {sheet: _measure(archive, member) for sheet, member in _list_sheets(archive)}


def _count(lines: Iterable[Line], mapping: SourceMapping | None) -> int:
    if mapping is None or mapping.kind == "table":
        return max((number for number, line in enumerate(lines, start=1) if line), default=0)
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


def _list_sheets(archive: zipfile.ZipFile) -> list[tuple[str, str]]:
    """Return (sheet, member of the archive), worksheets only."""
    targets = {
        relation.get("Id"): (relation.get("Type", ""), relation.get("Target", ""))
        for relation in _parse(archive, "xl/_rels/workbook.xml.rels")
    }
    found = []
    for element in _parse(archive, "xl/workbook.xml").iter(*_SHEET):
        kind, target = targets[element.get(_RELATION_ID) or element.get(_STRICT_ID)]
        if kind.endswith("/worksheet"):
            member = target[1:] if target.startswith("/") else posixpath.join("xl", target)
            found.append((element.get("name", ""), posixpath.normpath(member)))
    return found


def _measure(archive: zipfile.ZipFile, member: str) -> tuple[int, int]:
    last_row, last_column = 0, 0
    for row_no, row in _read_rows(archive, member):
        columns = [column + 1 for column, _ in _place_cells(row)]
        if columns:
            last_row, last_column = row_no, max(last_column, *columns)
    return last_row, last_column


def _read_sheet_lines(archive: zipfile.ZipFile, member: str, shared: list[str]) -> Iterator[Line]:
    """Yield the rows of a sheet from row 1, rows that the file leaves out too."""
    at = 0
    for row_no, row in _read_rows(archive, member):
        yield from ({} for _ in range(at + 1, row_no))
        at = row_no
        texts = ((column, _read_text(cell, shared)) for column, cell in _place_cells(row))
        yield {column: text for column, text in texts if text.strip()}


def _read_rows(archive: zipfile.ZipFile, member: str) -> Iterator[tuple[int, etree._Element]]:
    row_no = 0
    with archive.open(member) as stream:
        for row in _elements(stream, _ROW):
            row_no = _next_row(row.get("r"), row_no)
            yield row_no, row
            row.clear()
            while row.getprevious() is not None:
                del row.getparent()[0]


def _next_row(reference: str | None, last: int) -> int:
    row_no = int(reference) if reference else last + 1
    if not last < row_no <= _LAST_ROW:
        raise ValueError(f"row {row_no} stands out of order")
    return row_no


def _place_cells(row: etree._Element) -> Iterator[tuple[int, etree._Element]]:
    """Yield (column from 0, cell) of a row; a cell without a reference follows the last."""
    column = -1
    for cell in row:
        if cell.tag in _CELL:
            reference = cell.get("r")
            column = _find_column(reference.rstrip("0123456789")) if reference else column + 1
            yield column, cell


@cache
def _find_column(letters: str) -> int:
    number = 0
    for letter in letters:
        number = number * 26 + int(letter, 36) - 9
    return number - 1


def _read_text(cell: etree._Element, shared: list[str]) -> str:
    kind = cell.get("t")
    if kind == "inlineStr":
        return _join_texts(cell)
    value = next((part.text or "" for part in cell if part.tag in _VALUE), "")
    return shared[int(value)] if kind == "s" and value else value


def _join_texts(element: etree._Element) -> str:
    """Return the text of a string, the reading aids printed above it left out."""
    return "".join(
        text.text or "" for text in element.iter(*_TEXT) if text.getparent().tag not in _READING_AID
    )


def _read_shared(archive: zipfile.ZipFile) -> list[str]:
    member = "xl/sharedStrings.xml"
    if member not in archive.namelist():
        return []
    texts = []
    with archive.open(member) as stream:
        for string in _elements(stream, _STRING):
            texts.append(_join_texts(string))
            string.clear()
    return texts


def _elements(stream: IO[bytes], tags: tuple[str, ...]) -> Iterator[etree._Element]:
    for _, element in etree.iterparse(
        stream, tag=tags, resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False
    ):
        if element.getroottree().docinfo.doctype:
            raise ValueError("a part of the workbook declares a document type")
        yield element


def _parse(archive: zipfile.ZipFile, member: str) -> etree._Element:
    parser = etree.XMLParser(
        resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False
    )
    with archive.open(member) as stream:
        return etree.parse(stream, parser).getroot()
