"""What the reader hands over: text, and where every row of it stood."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple, Protocol

import polars as pl


class RecordKind(Protocol):
    """One kind of record: its name and its canonical column names."""

    @property
    def name(self) -> str:
        """Return the record's name."""

    @property
    def columns(self) -> tuple[str, ...]:
        """Return every column that may be typed."""

    @property
    def required(self) -> tuple[str, ...]:
        """Return the columns without which a row says nothing."""

    @property
    def awaits(self) -> tuple[str, ...]:
        """Return the columns of which a person fills one to make a form a record; often none."""

    @property
    def figures(self) -> tuple[str, ...]:
        """Return the columns that hold figures."""


RecordKinds = Mapping[str, RecordKind]
Cells = list[str | None]
"""The cells of one column, row by row."""


class RawRow(NamedTuple):
    """One row as received: its true number (1-based) and its cells, None where blank."""

    row_no: int
    cells: tuple[str | None, ...]


@dataclass(frozen=True)
class RawSheet:
    """
    The rows of one sheet up to the last filled one.

    `name` is "" for a CSV. `delimiter` is "" for a workbook, whose rows are all equally long.
    """

    name: str
    rows: Sequence[RawRow]
    delimiter: str = ""


@dataclass(frozen=True)
class SkippedRow:
    """A row that holds no record: why in plain words, and its text."""

    row_no: int
    why: str
    text: str


class FaultSort(StrEnum):
    """Sorts of faults that a command tells apart by its exit code."""

    UNREADABLE = "unreadable"
    ANOTHER_KIND = "another kind"
    COLUMN_MISSING = "column missing"
    TO_TYPE_IN = "to type in"


@dataclass(frozen=True)
class FileFault:
    """Why a file, or one sheet of it, was not read, and what would mend it."""

    why: str
    mend: str
    sheet: str = ""
    sort: FaultSort = FaultSort.UNREADABLE


@dataclass(frozen=True)
class ReadSheet:
    """
    One sheet: frames of text by record kind, rows that hold no record, and the independent count.

    Where `row_text` is null throughout, `heads` says how it is made: what is shown as each column's
    heading and our column, in the order of the sheet.

    Columns of a frame: sheet, row_no, part_no, the record's canonical columns, row_text,
    date_order, fault (in words, where the row as a whole can't be right; else null), mended (what
    the mapping changed: JSON lists of column, text before, text after, why; else null).
    """

    sheet: str
    rows: dict[str, pl.DataFrame]
    skipped: tuple[SkippedRow, ...]
    units_counted: int
    heads: tuple[tuple[str, str], ...] = ()


@dataclass(frozen=True)
class ReadFile:
    """
    One received file.

    `document` and `version_rank` tell versions of one document apart; `source` names the mapping;
    `faults` say what was not read; `notes` what was passed over on purpose (columns, sheets).
    `is_proved` where its own totals prove its lines: an electronic invoice, a PDF.
    """

    name: str
    document: str
    version_rank: tuple[int, int, int]
    source: str
    sheets: tuple[ReadSheet, ...]
    faults: tuple[FileFault, ...]
    notes: tuple[str, ...] = ()
    is_proved: bool = False


class Unreadable(Exception):  # noqa: N818 - it never leaves this room: it becomes a FileFault
    """A file or sheet that can't be read; carries the fault to hand over."""

    def __init__(
        self, why: str, mend: str, sheet: str = "", sort: FaultSort = FaultSort.UNREADABLE
    ) -> None:
        """Keep the reason and the remedy."""
        super().__init__(why)
        self.fault = FileFault(why, mend, sheet, sort)


def keep_filled(cells: Iterable[str | None]) -> tuple[str | None, ...]:
    """Return the cells, None in place of those that hold no more than blanks."""
    return tuple([cell if cell and not cell.isspace() else None for cell in cells])


def fold(text: str | None) -> str:
    """Return a heading or word as it is compared: case-blind, spaces folded, "_" as a space."""
    return " ".join((text or "").replace("_", " ").split()).casefold()


def drop_tail(rows: list[RawRow]) -> list[RawRow]:
    """Return the rows up to the last filled one."""
    last = len(rows)
    while last and not any(rows[last - 1].cells):
        last -= 1
    return rows[:last]
