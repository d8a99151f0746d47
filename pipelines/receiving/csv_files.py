"""CSV text: decoding, delimiter, and rows with their true line numbers."""

import csv
import io
from collections import Counter
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
from pipelines.receiving.limits import check_spread

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
        if encoding == "cp1252" and (line_no := _find_mixed(content)):
            raise Unreadable(
                f"the letters of line {line_no} are UTF-8 and others in the file are not", mend
            )
        return text
    raise Unreadable("the file is neither UTF-8 nor Windows-1252 text", mend)


def _find_mixed(content: bytes) -> int | None:
    """Return the first line (from 1) that is UTF-8 beyond plain letters, None where none is."""
    for line_no, line in enumerate(content.splitlines(), start=1):
        with suppress(UnicodeDecodeError):
            if not line.isascii() and line.decode("utf-8"):
                return line_no
    return None


def find_delimiter(text: str, headings: Collection[str]) -> str:
    """Return the delimiter under which the first rows show most of the (folded) headings."""

    def score(delimiter: str) -> int:
        best = 0
        with suppress(Unreadable):
            for _, cells in islice(_parse(text, delimiter), HEADING_WITHIN_ROWS):
                best = max(best, len({fold(cell) for cell in cells}.intersection(headings)))
        return best

    return max(DELIMITERS, key=score)


def guess_delimiter(text: str) -> str:
    """Return the delimiter under which the first rows agree best on a width above one cell."""

    def score(delimiter: str) -> int:
        widths: Counter[int] = Counter()
        with suppress(Unreadable):
            rows = islice(_parse(text, delimiter), HEADING_WITHIN_ROWS)
            widths.update(len(cells) for _, cells in rows if len(cells) > 1)
        return max((width * count for width, count in widths.items()), default=0)

    return max(DELIMITERS, key=score)


def read_csv_text(text: str, delimiter: str) -> RawSheet:
    """
    Return the rows of a CSV text up to the last filled one, each with the line it starts on.

    Raises Unreadable where a quote mark is never closed or a cell is longer than any record's.
    """
    rows = [RawRow(line_no, keep_filled(cells)) for line_no, cells in _parse(text, delimiter)]
    return RawSheet("", drop_tail(rows), delimiter)


def _parse(text: str, delimiter: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(_lines(text, delimiter), delimiter=delimiter)
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
        if "limit" in str(error):
            raise _too_long(line_no) from error
        raise _never_closed(line_no) from error
    raise _never_closed(line_no)


def _lines(text: str, delimiter: str) -> Iterator[str]:
    """Yield the lines and then an end mark, which a quote left open swallows."""
    line = ""
    for line in io.StringIO(text, newline=""):
        check_spread(1, line.count(delimiter) + 1, "")
        yield line if line.endswith(("\n", "\r")) else f"{line}\n"
    yield _END


def _too_long(line_no: int) -> Unreadable:
    return Unreadable(
        f"a cell in the row that starts on line {line_no} is longer than any record's",
        "look for a quote mark that is never closed, or hand in a file of rows and columns",
    )


def _never_closed(line_no: int) -> Unreadable:
    return Unreadable(
        f"a quote mark in the row that starts on line {line_no} is never closed",
        'close the quote mark, or write "" for a quote mark inside a cell',
    )
