"""What is too large to be a firm's record, refused before it is opened."""

import lzma
import struct
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from lxml import etree

from pipelines.receiving.handed_over import Unreadable
from pipelines.receiving.measuring import WorkbookSize, measure_workbook

MOST_FILE_BYTES = 200_000_000
MOST_MEMBER_BYTES = 500_000_000
MOST_WORKBOOK_BYTES = 1_000_000_000
MOST_COLUMNS = 2_000
MOST_CELLS = 50_000_000
MOST_MEMBERS = 10_000
MOST_EXPANSION = 250
SAVE_AGAIN = "open it, save it again as .xlsx and hand that in"
_SMALL_MEMBER_BYTES = 20_000_000
_PART_IT = "hand it in as several smaller files"
_DAMAGE = (
    zipfile.BadZipFile, zlib.error, lzma.LZMAError, etree.LxmlError, OSError, EOFError, LookupError,
    ValueError, NotImplementedError, RuntimeError, struct.error,
)  # fmt: skip


def check_size(path: Path) -> None:
    """Raise Unreadable where a file is above 200 MB; OSError where it is not there."""
    if path.stat().st_size > MOST_FILE_BYTES:
        raise Unreadable("the file is above 200 MB", _PART_IT)


def check_archive(path: Path) -> None:
    """
    Raise Unreadable where a workbook is broken or made to burst.

    That is: more parts than any workbook has, a part that expands above 500 MB, parts above 1 GB
    together, or one above 20 MB that expands more than 250 times, which no sheet of figures does.
    """
    with damage_told(), zipfile.ZipFile(path) as archive:
        members = archive.infolist()
    if len(members) > MOST_MEMBERS:
        raise Unreadable(f"the workbook has {len(members):,} parts", SAVE_AGAIN)
    if any(member.file_size > MOST_MEMBER_BYTES for member in members):
        raise Unreadable("the workbook expands above 500 MB", _PART_IT)
    if sum(member.file_size for member in members) > MOST_WORKBOOK_BYTES:
        raise Unreadable("the workbook expands above 1 GB", _PART_IT)
    for member in members:
        expansion = member.file_size / max(1, member.compress_size)
        if member.file_size > _SMALL_MEMBER_BYTES and expansion > MOST_EXPANSION:
            raise Unreadable(f"a part of the workbook expands {expansion:,.0f} times", SAVE_AGAIN)


def measure_sheets(path: Path) -> WorkbookSize:
    """
    Return how large the sheets are.

    Raises Unreadable where a sheet is damaged, above 2,000 columns or 50 million cells, and where
    the workbook counts its days from 1904, since a bare day number would mean another day.
    """
    with damage_told():
        size = measure_workbook(path)
    for sheet, told in size.sheets.items():
        check_spread(told.last_row, told.last_column, sheet)
    if size.counts_from_1904:
        raise Unreadable(
            "the workbook counts its days from 1904, so that a day number in it means another day",
            "save each of its sheets as CSV and hand those in",
        )
    return size


def check_spread(row_count: int, column_count: int, sheet: str) -> None:
    """Raise Unreadable where a table has over 2,000 columns or spans over 50 million cells."""
    what = f'sheet "{sheet}"' if sheet else "the file"
    if column_count > MOST_COLUMNS:
        raise Unreadable(f"{what} has {column_count:,} columns", _PART_IT, sheet)
    if row_count * column_count > MOST_CELLS:
        raise Unreadable(f"{what} spans over 50 million cells", _PART_IT, sheet)


def check_worked_out(size: WorkbookSize, sheet: str) -> None:
    """Raise Unreadable where a cell of the sheet holds a formula without what it comes to."""
    told = size.sheets.get(sheet)
    if told is not None and told.unworked is not None:
        raise Unreadable(
            f'cell {told.unworked} of sheet "{sheet}" holds a formula that was never worked out',
            "open the workbook, save it and hand it in again",
            sheet,
        )


def note_links(size: WorkbookSize) -> tuple[str, ...]:
    """Return that the workbook takes figures from another one, in words."""
    said = "some of its figures come from another workbook, and are read as they last stood"
    return (said,) if size.links_out else ()


def note_hidden(size: WorkbookSize, sheet: str) -> tuple[str, ...]:
    """Return what is hidden in a sheet and read all the same, in words."""
    hidden = size.sheets[sheet].hidden if sheet in size.sheets else None
    return (f'sheet "{sheet}" has {hidden}, read like the others',) if hidden else ()


@contextmanager
def damage_told() -> Iterator[None]:
    """Turn whatever a damaged archive or its XML raises into one Unreadable."""
    try:
        yield
    except _DAMAGE as error:
        raise Unreadable("the workbook is damaged or only half there", SAVE_AGAIN) from error
