"""Editing finished files in place: a CSV or one sheet of an XLSX, cell by cell."""

import csv
import re
from io import BytesIO, StringIO
from pathlib import Path
from typing import Protocol
from zipfile import ZIP_DEFLATED, ZipFile

from lxml import etree

MAIN = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"
ENCODINGS = ("utf-8-sig", "cp1252")


class Page(Protocol):
    """Rows of text by true line or row number (from 1), with cells that can be set."""

    def read_rows(self) -> dict[int, list[str]]:
        """Return the cells of each row."""

    def set_cell(self, row_no: int, column: int, text: str) -> None:
        """Set one cell; the column counts from 0; blank text empties it."""

    def save(self) -> None:
        """Write the file back."""


class CsvPage:
    """A CSV file; its encoding, mark and separator stay as they are."""

    def __init__(self, path: Path) -> None:
        """Read the file."""
        self.path = path
        data = path.read_bytes()
        self.has_mark = data.startswith(b"\xef\xbb\xbf")
        self.encoding = next(each for each in ENCODINGS if _decodes(data, each))
        text = data.decode(self.encoding)
        self.separator = ";" if text.count(";") > text.count(",") else ","
        self.rows = list(csv.reader(StringIO(text), delimiter=self.separator))

    def read_rows(self) -> dict[int, list[str]]:
        """Return the cells of each line."""
        return dict(enumerate(self.rows, start=1))

    def set_cell(self, row_no: int, column: int, text: str) -> None:
        """Set one cell of a line."""
        self.rows[row_no - 1][column] = text

    def insert(self, row_no: int, row: list[str]) -> None:
        """Put a line in so that it becomes line `row_no`."""
        self.rows.insert(row_no - 1, row)

    def save(self) -> None:
        """Write the file back."""
        text = StringIO()
        writer = csv.writer(text, delimiter=self.separator, lineterminator="\r\n")
        writer.writerows(self.rows)
        plain = self.encoding == "utf-8-sig" and not self.has_mark
        self.path.write_bytes(text.getvalue().encode("utf-8" if plain else self.encoding))


class SheetPage:
    """One sheet of a workbook; all other parts of the file stay as they are."""

    def __init__(self, path: Path, sheet: str) -> None:
        """Read the workbook and find the sheet."""
        self.path = path
        with ZipFile(path) as book:
            self.infos = book.infolist()
            self.parts = {info.filename: book.read(info) for info in self.infos}
        names = [
            each.get("name") for each in _parse(self.parts["xl/workbook.xml"]).iter(f"{MAIN}sheet")
        ]
        self.part = f"xl/worksheets/sheet{names.index(sheet) + 1}.xml"
        self.tree = _parse(self.parts[self.part])
        shared = _parse(self.parts["xl/sharedStrings.xml"])
        self.strings = ["".join(item.itertext()) for item in shared.iter(f"{MAIN}si")]

    def read_rows(self) -> dict[int, list[str]]:
        """Return the cells of each row as text; dates stay serial numbers."""
        rows = {}
        for row in self.tree.iter(f"{MAIN}row"):
            cells: dict[int, str] = {}
            for cell in row:
                cells[_find_column(cell.get("r", ""))] = self._read_cell(cell)
            rows[int(row.get("r", "0"))] = [
                cells.get(column, "") for column in range(max(cells, default=-1) + 1)
            ]
        return rows

    def set_cell(self, row_no: int, column: int, text: str) -> None:
        """Set one cell: a number, an error such as #REF!, or text."""
        row = next(r for r in self.tree.iter(f"{MAIN}row") if r.get("r") == str(row_no))
        name = f"{_name_column(column)}{row_no}"
        for cell in row:
            if cell.get("r") == name:
                row.remove(cell)
        if text:
            before = sum(_find_column(cell.get("r", "")) < column for cell in row)
            row.insert(before, _make_cell(name, text))

    def save(self) -> None:
        """Write the workbook back with the same parts in the same order."""
        self.parts[self.part] = etree.tostring(
            self.tree, xml_declaration=True, encoding="UTF-8", standalone=True
        )
        data = BytesIO()
        with ZipFile(data, "w", ZIP_DEFLATED) as book:
            for info in self.infos:
                book.writestr(info, self.parts[info.filename])
        self.path.write_bytes(data.getvalue())

    def _read_cell(self, cell: etree._Element) -> str:
        value = cell.findtext(f"{MAIN}v", "")
        if cell.get("t") == "s":
            return self.strings[int(value)]
        return "".join(cell.itertext()) if cell.get("t") == "inlineStr" else value


def open_page(path: Path, sheet: str) -> CsvPage | SheetPage:
    """Return the page of a CSV (sheet "") or of a workbook's sheet."""
    return SheetPage(path, sheet) if sheet else CsvPage(path)


def _decodes(data: bytes, encoding: str) -> bool:
    try:
        data.decode(encoding)
    except UnicodeDecodeError:
        return False
    return True


def _parse(data: bytes) -> etree._Element:
    return etree.fromstring(data)


def _find_column(name: str) -> int:
    column = 0
    for letter in re.sub(r"\d", "", name):
        column = column * 26 + ord(letter) - ord("A") + 1
    return column - 1


def _name_column(column: int) -> str:
    name = ""
    column += 1
    while column:
        column, letter = divmod(column - 1, 26)
        name = chr(ord("A") + letter) + name
    return name


def _make_cell(name: str, text: str) -> etree._Element:
    cell = etree.Element(f"{MAIN}c", r=name)
    if text.startswith("#"):
        cell.set("t", "e")
    elif not re.fullmatch(r"-?\d+(\.\d+)?", text):
        cell.set("t", "inlineStr")
        etree.SubElement(etree.SubElement(cell, f"{MAIN}is"), f"{MAIN}t").text = text
        return cell
    etree.SubElement(cell, f"{MAIN}v").text = text
    return cell
