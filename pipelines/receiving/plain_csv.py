"""
CSV files whose structure is proven plain, read whole and column by column.

Plain is: UTF-8, the heading of one record in its own columns on the first line, each further line
one row with as many cells, quote marks only round whole cells, no blank row, no heading and no sum
among the rows. What is not plainly so is left to the reader that goes line by line.
"""

import csv
import re
from collections.abc import Sequence

import polars as pl
from polars.exceptions import PolarsError

from pipelines.receiving import canonical
from pipelines.receiving.bodies import skip_row
from pipelines.receiving.csv_files import DELIMITERS, find_delimiter, read_csv_text
from pipelines.receiving.handed_over import (
    RawSheet,
    ReadSheet,
    RecordKind,
    RecordKinds,
    Unreadable,
    fold,
)
from pipelines.receiving.headings import HEADING_WITHIN_ROWS, Heading, find_heading
from pipelines.receiving.own_totals import TOTAL_WORDS
from pipelines.receiving.record_rows import frame_schema

_MARK = b"\xef\xbb\xbf"
_NOT_IN_LINES = "\x1f"
_FILLED = r"\S"
_UNCLEAR = (b"\x00", b"\x1c", b"\x1d", b"\x1e", _NOT_IN_LINES.encode())
"""Bytes that are no text, or that only one of two readers takes for a blank."""


def read_plain_csv(content: bytes, name: str, records: RecordKinds) -> tuple[ReadSheet, str] | None:
    """
    Return the sheet of a plain file in a record's own columns, and its delimiter.

    None where the file is not proven plain. In the frame `row_text` is null: `heads` of the sheet
    tells how it is made. `units_counted` is left 0 for the counter.
    """
    body = content.removeprefix(_MARK)
    if any(unclear in body for unclear in _UNCLEAR) or not _has_one_line_end(body):
        return None
    try:
        sheet, record, heading = _read_heading(body, name, records)
    except (Unreadable, UnicodeDecodeError):
        return None
    columns = _place_columns(heading, record)
    if not columns or not _is_even(body, sheet.delimiter, len(columns)):
        return None
    cells = _read_cells(body, sheet.delimiter, columns)
    if cells is None or not _holds_rows_only(cells, records):
        return None
    heads = tuple(zip(heading.shown, columns, strict=True))
    skipped = (skip_row(sheet.rows[0], "heading"),)
    return ReadSheet("", {record.name: _frame(cells, record)}, skipped, 0, heads), sheet.delimiter


def _has_one_line_end(body: bytes) -> bool:
    if b"\r" not in body:
        return True
    returns = body.count(b"\r")
    return returns == body.count(b"\n") == body.count(b"\r\n")


def _read_heading(
    body: bytes, name: str, records: RecordKinds
) -> tuple[RawSheet, RecordKind, Heading]:
    """Return the first lines, and the record and heading that they tell, as for any file."""
    lines = body[: csv.field_size_limit()].split(b"\n", HEADING_WITHIN_ROWS + 1)
    if len(lines) <= HEADING_WITHIN_ROWS and len(body) > csv.field_size_limit():
        raise Unreadable("the first lines are too long to be plain", "")
    text = b"\n".join(lines[: HEADING_WITHIN_ROWS + 1]).decode()
    named = frozenset(fold(column) for kind in records.values() for column in kind.columns)
    delimiter = find_delimiter(text, named)
    sheet = read_csv_text(text, delimiter)
    record = records[canonical.choose_record(sheet, name, records)]
    return sheet, record, find_heading(sheet, record.required)


def _place_columns(heading: Heading, record: RecordKind) -> tuple[str, ...]:
    """Return the record's column under each heading; none where one is unknown or stands twice."""
    known = {fold(column): column for column in record.columns}
    columns = tuple(known[name] for name in heading.folded if name in known)
    is_plain = heading.at == 0 and len(set(columns)) == len(heading.folded) > 1
    return columns if is_plain and not record.awaits else ()


def _is_even(body: bytes, delimiter: str, width: int) -> bool:
    """Return whether the rows together have as many cells as they should, each quoted one whole."""
    count, marks = _count_lines(body), body.count(delimiter.encode())
    if b'"' not in body:
        return marks == count * (width - 1)
    if any(_opens_cells(body, other) for other in DELIMITERS if other != delimiter):
        return False
    lines = _read_lines(body)
    if lines is None or lines.len() != count:
        return False
    quoted = lines.filter(lines.str.contains('"', literal=True))
    if not quoted.str.contains(_pattern(delimiter, width)).all():
        return False
    in_quoted = quoted.str.count_matches(delimiter, literal=True).sum()
    return bool(marks - in_quoted == (count - quoted.len()) * (width - 1))


def _opens_cells(body: bytes, mark: str) -> bool:
    """Return whether quote marks would open cells were `mark` the delimiter."""
    return mark.encode() in body and f'{mark}"'.encode() in body


def _count_lines(body: bytes) -> int:
    return body.count(b"\n") + (not body.endswith(b"\n"))


def _pattern(delimiter: str, width: int) -> str:
    """Return what a line with quote marks is when each of its cells is bare or quoted whole."""
    mark = re.escape(delimiter)
    cell = f'(?:[^"{mark}]*|"(?:[^"]|"")*")'
    return f"^(?:{cell}{mark}){{{width - 1}}}{cell}$"


def _read_lines(body: bytes) -> pl.Series | None:
    try:
        lines = pl.read_csv(
            body, has_header=False, separator=_NOT_IN_LINES, quote_char=None, infer_schema=False
        )
    except PolarsError:
        return None
    return lines.to_series().fill_null("")


def _read_cells(body: bytes, delimiter: str, columns: Sequence[str]) -> pl.DataFrame | None:
    """Return the cells below the heading, null where blank; None where a row is over-long."""
    schema = dict.fromkeys(columns, pl.String())
    try:
        cells = pl.read_csv(body, has_header=False, skip_rows=1, separator=delimiter, schema=schema)
    except PolarsError:
        return None
    if cells.is_empty() or cells.height != _count_lines(body) - 1:
        return None
    longest = cells.select(pl.all().str.len_bytes().max()).row(0)
    if any(length is not None and length > csv.field_size_limit() for length in longest):
        return None
    blank = cells.select((~pl.all().str.contains(_FILLED)).any()).row(0)
    some = [name for name, found in zip(columns, blank, strict=True) if found]
    return cells.with_columns(
        pl.when(pl.col(name).str.contains(_FILLED)).then(pl.col(name)) for name in some
    )


def _holds_rows_only(cells: pl.DataFrame, records: RecordKinds) -> bool:
    """Return whether no row is blank, and none begins like a heading or a sum."""
    first = cells.to_series(0)
    if first.null_count():
        first = cells.select(pl.coalesce(pl.all())).to_series()
    words = TOTAL_WORDS | {fold(column) for kind in records.values() for column in kind.columns}
    digits = "".join(sorted({*"0123456789"}.difference(*words)))
    texts = first.unique()
    texts = texts.filter(~texts.str.contains(f"[{digits}]"))
    return not first.null_count() and not any(
        folded in words or folded.removesuffix(":") in words for folded in map(fold, texts)
    )


def _frame(cells: pl.DataFrame, record: RecordKind) -> pl.DataFrame:
    """Return the cells in the shape in which rows are handed over; the heading is line 1."""
    given = cells.with_columns(
        pl.lit("").alias("sheet"),
        pl.int_range(2, cells.height + 2, dtype=pl.Int64).alias("row_no"),
        pl.lit(1, pl.Int64).alias("part_no"),
    )
    shape = frame_schema(record)
    return given.select(
        pl.col(name) if name in given.columns else pl.lit(None, dtype).alias(name)
        for name, dtype in shape.items()
    )
