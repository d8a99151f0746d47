"""A workbook's XML, read without the reader that hands its rows over."""

import posixpath
import zipfile
from collections.abc import Iterator
from functools import cache
from itertools import takewhile
from typing import IO

from lxml import etree

_SPACES = (
    "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}",
    "{http://purl.oclc.org/ooxml/spreadsheetml/main}",
)
_SHEET, _PROPERTIES, _COLUMN, _ROW, _CELL, _FORMULA, _VALUE, _STRING, _TEXT, _READING_AID = (
    tuple(space + name for space in _SPACES)
    for name in ("sheet", "workbookPr", "col", "row", "c", "f", "v", "si", "t", "rPh")
)
_RELATION_ID = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_STRICT_ID = "{http://purl.oclc.org/ooxml/officeDocument/relationships}id"
_DECLARES = "a part of the workbook declares a document type"
_LAST_ROW = 1_048_576


def list_sheets(archive: zipfile.ZipFile) -> list[tuple[str, str]]:
    """Return (sheet, member of the archive), worksheets only."""
    targets = {
        relation.get("Id"): (relation.get("Type", ""), relation.get("Target", ""))
        for relation in parse_member(archive, "xl/_rels/workbook.xml.rels")
    }
    found = []
    for element in parse_member(archive, "xl/workbook.xml").iter(*_SHEET):
        kind, target = targets[element.get(_RELATION_ID) or element.get(_STRICT_ID)]
        if kind.endswith("/worksheet"):
            member = target[1:] if target.startswith("/") else posixpath.join("xl", target)
            found.append((element.get("name", ""), posixpath.normpath(member)))
    return found


def counts_from_1904(archive: zipfile.ZipFile) -> bool:
    """Return whether the workbook's day numbers count from 1904, not from 1900."""
    told = parse_member(archive, "xl/workbook.xml").iter(*_PROPERTIES)
    return any(is_set(element, "date1904") for element in told)


def is_set(element: etree._Element, name: str) -> bool:
    """Return whether an attribute says yes."""
    return element.get(name, "") in {"1", "true"}


def list_hidden_columns(archive: zipfile.ZipFile, member: str) -> list[tuple[int, int]]:
    """Return the first and last column (from 1) of each hidden range of a sheet."""
    with archive.open(member) as stream:
        told = takewhile(
            lambda element: element.tag in _COLUMN, read_elements(stream, (*_COLUMN, *_ROW))
        )
        return [
            (int(element.get("min", 1)), int(element.get("max", 1)))
            for element in told
            if is_set(element, "hidden")
        ]


def read_rows(archive: zipfile.ZipFile, member: str) -> Iterator[tuple[int, etree._Element]]:
    """Yield (number from 1, row) of a sheet; a row is emptied once the next is asked for."""
    row_no = 0
    with archive.open(member) as stream:
        for row in read_elements(stream, _ROW):
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


def place_cells(row: etree._Element) -> Iterator[tuple[int, etree._Element]]:
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


def is_unworked(cell: etree._Element) -> bool:
    """Return whether a cell holds a formula without what it comes to."""
    if not len(cell) or cell[0].tag not in _FORMULA:
        return False
    is_text = cell.get("t") == "str"
    return not any(part.tag in _VALUE and (part.text or is_text) for part in cell)


def read_text(cell: etree._Element, shared: list[str]) -> str:
    """Return what a cell says, as it stands in the file."""
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


def read_shared(archive: zipfile.ZipFile) -> list[str]:
    """Return the texts that the cells of a workbook share."""
    member = "xl/sharedStrings.xml"
    if member not in archive.namelist():
        return []
    texts = []
    with archive.open(member) as stream:
        for string in read_elements(stream, _STRING):
            texts.append(_join_texts(string))
            string.clear()
    return texts


def read_elements(stream: IO[bytes], tags: tuple[str, ...]) -> Iterator[etree._Element]:
    """Yield the elements of these tags; ValueError where the part declares a document type."""
    for _, element in etree.iterparse(
        stream, tag=tags, resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False
    ):
        if element.getroottree().docinfo.doctype:
            raise ValueError(_DECLARES)
        yield element


def parse_member(archive: zipfile.ZipFile, member: str) -> etree._Element:
    """Return the root of a small part of a workbook; ValueError where it declares a type."""
    parser = etree.XMLParser(
        resolve_entities=False, no_network=True, load_dtd=False, huge_tree=False
    )
    with archive.open(member) as stream:
        tree = etree.parse(stream, parser)
    if tree.docinfo.doctype:
        raise ValueError(_DECLARES)
    return tree.getroot()
