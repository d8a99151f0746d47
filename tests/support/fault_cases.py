"""The catalogue of faults: one small file each of what is handed in, and what must come of it."""

import tomllib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import xlsxwriter

CATALOGUE = Path(__file__).parents[1] / "flows" / "faults"


@dataclass(frozen=True)
class CaseFile:
    """A file of a case: its text, and what must be said of it as a whole."""

    name: str
    text: str = ""
    encoding: str = "utf-8"
    batch: int = 1
    starts_with: str = ""
    merge: tuple[str, ...] = ()
    hidden_rows: tuple[int, ...] = ()
    hidden_columns: tuple[str, ...] = ()
    from_1904: bool = False
    held: bool = False
    left: tuple[str, ...] = ()
    not_read: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    def write(self, folder: Path) -> Path:
        """Write the file into a folder."""
        path = folder / self.name
        if self.starts_with:
            path.write_bytes(bytes.fromhex(self.starts_with) + bytes(60))
        elif path.suffix == ".xlsx":
            self._write_workbook(path)
        else:
            path.write_bytes(self.text.encode(self.encoding))
        return path

    def _write_workbook(self, path: Path) -> None:
        with xlsxwriter.Workbook(path, {"date_1904": self.from_1904}) as book:
            sheet = book.add_worksheet()
            for place in self.merge:
                sheet.merge_range(place, "")
            for at, line in enumerate(self.text.strip().splitlines()):
                for column, cell in enumerate(line.split("|")):
                    _write_cell(sheet, at, column, cell.strip())
            for row in self.hidden_rows:
                sheet.set_row(row - 1, options={"hidden": True})
            for letter in self.hidden_columns:
                sheet.set_column(f"{letter}:{letter}", options={"hidden": True})


@dataclass(frozen=True)
class CaseRow:
    """A row of a case: what becomes of it. `becomes` holds what it says in the ledger, as text."""

    row: int
    outcome: str
    file: int = 1
    column: str | None = None
    before: str | None = None
    after: str | None = None
    says: tuple[str, ...] = ()
    becomes: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class FaultCase:
    """One fault of the catalogue. `later` holds what only a whole run can show."""

    no: int
    name: str
    fault: str
    what_happens: str
    files: tuple[CaseFile, ...]
    rows: tuple[CaseRow, ...]
    later: Mapping[str, tuple[Mapping[str, Any], ...]]


def read_catalogue() -> tuple[FaultCase, ...]:
    """Return every case in the order of its number."""
    return tuple(_read(path) for path in sorted(CATALOGUE.glob("*.toml")))


def _read(path: Path) -> FaultCase:
    said = tomllib.loads(path.read_text(encoding="utf-8"))
    number, _, name = path.stem.partition(" ")
    return FaultCase(
        int(number),
        name,
        said.pop("fault"),
        said.pop("what_happens"),
        tuple(CaseFile(**dict(_frozen(file))) for file in said.pop("file")),
        tuple(CaseRow(**dict(_frozen(row))) for row in said.pop("row", [])),
        {kind: tuple(found) for kind, found in said.items()},
    )


def _frozen(said: Mapping[str, Any]) -> Iterator[tuple[str, Any]]:
    for key, value in said.items():
        yield key, tuple(value) if isinstance(value, list) else value


def _write_cell(sheet: Any, at: int, column: int, cell: str) -> None:
    if cell.replace(".", "", 1).isdigit():
        sheet.write_number(at, column, float(cell))
    elif cell:
        sheet.write_string(at, column, cell)
