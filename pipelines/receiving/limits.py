"""What is too large to be a firm's record, refused before it is opened."""

import lzma
import struct
import zipfile
import zlib
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from lxml import etree

from pipelines.receiving.counting import measure_workbook
from pipelines.receiving.handed_over import Unreadable

MOST_FILE_BYTES = 200_000_000
MOST_MEMBER_BYTES = 500_000_000
MOST_COLUMNS = 2_000
MOST_CELLS = 50_000_000
SAVE_AGAIN = "open it, save it again as .xlsx and hand that in"
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
    """Raise Unreadable where a workbook is broken or one of its members expands above 500 MB."""
    with damage_told(), zipfile.ZipFile(path) as archive:
        largest = max((member.file_size for member in archive.infolist()), default=0)
    if largest > MOST_MEMBER_BYTES:
        raise Unreadable("the workbook expands above 500 MB", _PART_IT)


def measure_sheets(path: Path) -> None:
    """Raise Unreadable where a sheet is damaged, above 2,000 columns or 50 million cells."""
    with damage_told():
        sizes = measure_workbook(path)
    for sheet, (row_count, column_count) in sizes.items():
        if column_count > MOST_COLUMNS:
            raise Unreadable(f'sheet "{sheet}" has {column_count:,} columns', _PART_IT, sheet)
        if row_count * column_count > MOST_CELLS:
            raise Unreadable(f'sheet "{sheet}" spans over 50 million cells', _PART_IT, sheet)


@contextmanager
def damage_told() -> Iterator[None]:
    """Turn whatever a damaged archive or its XML raises into one Unreadable."""
    try:
        yield
    except _DAMAGE as error:
        raise Unreadable("the workbook is damaged or only half there", SAVE_AGAIN) from error
