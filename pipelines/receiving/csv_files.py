"""CSV text: decoding, delimiter, and rows with their true line numbers."""

import csv
import io
from collections.abc import Collection, Iterator
from contextlib import suppress
from itertools import islice

from pipelines.receiving.handed_over import (
    RawRow,
    RawSheet,
    Unreadable,
    drop_tail,
    fold,
    keep_filled,
)
from pipelines.receiving.headings import HEADING_WITHIN_ROWS

DELIMITERS = (",", ";", "\t", "|")

_END = "\x00end"
_WIDE_MARKS = (b"\xff\xfe", b"\xfe\xff")


def decode_text(content: bytes) -> str:
    """
    Return the text of a CSV file: UTF-8 with or without its mark, else Windows-1252.

    Raises Unreadable where neither fits or where the bytes are not text.
    """
    mend = "save it again as CSV UTF-8"
    if content.startswith(_WIDE_MARKS):
        raise Unreadable("the file is saved as Unicode text (UTF-16)", mend)
    for encoding in ("utf-8-sig", "cp1252"):
        try:
            text = content.decode(encoding)
        except UnicodeDecodeError:
            continue
        if "\x00" in text:
            raise Unreadable("the file holds bytes that are not text", mend)
        return text
    raise Unreadable("the file is neither UTF-8 nor Windows-1252 text", mend)


def find_delimiter(text: str, headings: Collection[str]) -> str:
    """Return the delimiter under which the first rows show most of the (folded) headings."""

    def score(delimiter: str) -> int:
        best = 0
        with suppress(Unreadable):
            for _, cells in islice(_parse(text, delimiter), HEADING_WITHIN_ROWS):
                best = max(best, len({fold(cell) for cell in cells}.intersection(headings)))
        return best

    return max(DELIMITERS, key=score)


def read_csv_text(text: str, delimiter: str) -> RawSheet:
    """
    Return the rows of a CSV text up to the last filled one, each with the line it starts on.

    Raises Unreadable where a quote mark is never closed or a cell is longer than any record's.
    """
    rows = [RawRow(line_no, keep_filled(cells)) for line_no, cells in _parse(text, delimiter)]
    return RawSheet("", drop_tail(rows), delimiter)


def _parse(text: str, delimiter: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(_lines(text), delimiter=delimiter)
    line_no = 1
    try:
        for cells in reader:
            if cells == [_END]:
                return
            if cells and cells[-1].endswith(_END):
                break
            yield line_no, cells
            line_no = reader.line_num + 1
    except csv.Error as error:
        raise _never_closed(line_no) from error
    raise _never_closed(line_no)


def _lines(text: str) -> Iterator[str]:
    """Yield the lines and then an end mark, which a quote left open swallows."""
    line = ""
    for line in io.StringIO(text, newline=""):
        yield line if line.endswith(("\n", "\r")) else f"{line}\n"
    yield _END


def _never_closed(line_no: int) -> Unreadable:
    return Unreadable(
        f"a quote mark in the row that starts on line {line_no} is never closed",
        'close the quote mark, or write "" for a quote mark inside a cell',
    )
