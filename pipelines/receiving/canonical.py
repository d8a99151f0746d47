"""Files in the firm's own columns: which record a sheet holds, told by its name or its heading."""

import re
from pathlib import PurePath

from pipelines.receiving.handed_over import RawSheet, RecordKinds, Unreadable, fold
from pipelines.receiving.headings import HEADING_WITHIN_ROWS, Heading, read_heading
from pipelines.receiving.mappings import Part, SourceMapping

SOURCE = "own columns"
PASSED_OVER = ("lists", "read me")
AIDS = frozenset(
    {"net so far", "net total on paper", "does it agree", "last told in", "left out by", "rows"}
)
"""Columns that help a person who types, and are no part of a record; folded."""


def choose_record(sheet: RawSheet, file_name: str, records: RecordKinds) -> str:
    """
    Return the record kind of a sheet: named by the sheet, else the file, else its heading.

    Raises Unreadable where none or several fit.
    """
    for name in (sheet.name, PurePath(file_name).stem):
        named = find_record_names(name, records)
        if len(named) == 1:
            return named[0]
    fitting = _fit_heading(sheet, records)
    if len(fitting) == 1:
        return fitting[0]
    if fitting:
        why = f"the heading fits several records: {', '.join(fitting)}"
    else:
        why = "neither the name nor the heading says which record this is"
    raise Unreadable(
        why, f"name it after one record ({', '.join(records)}), or write a mapping", sheet.name
    )


def find_record_names(name: str, records: RecordKinds) -> list[str]:
    """Return the records named in a file's stem or a sheet's name, longest names first."""
    rest = fold(re.sub(r"[^\w]+", " ", name))
    named = []
    for record in sorted(records, key=len, reverse=True):
        rest, count = re.subn(rf"\b{re.escape(fold(record))}\b", "|", rest)
        if count:
            named.append(record)
    return named


def refuse_second_table(sheet: RawSheet, heading: Heading, records: RecordKinds) -> None:
    """Raise Unreadable where the heading of another record stands among the rows."""
    known = {fold(column) for kind in records.values() for column in kind.columns}
    for place, row in enumerate(sheet.rows[heading.at + 1 :], heading.at + 1):
        first = next((cell for cell in row.cells if cell is not None), None)
        if first is None or fold(first) not in known or heading.repeats_in(row):
            continue
        names = [fold(cell) for cell in row.cells if cell is not None]
        if len(names) > 1 and known.issuperset(names):
            raise Unreadable(
                f"row {sheet.rows[place].row_no} looks like the heading of a second table",
                "put each table on a sheet, or into a file, of its own",
                sheet.name,
            )


def map_canonical(record: str, records: RecordKinds) -> SourceMapping:
    """Return the mapping of a record's own column names onto themselves."""
    kind = records[record]
    return SourceMapping(
        name=SOURCE,
        files=(),
        kind="table",
        header=kind.required,
        required=kind.required,
        parts=(Part(record, {fold(column): column for column in kind.columns}),),
    )


def _fit_heading(sheet: RawSheet, records: RecordKinds) -> list[str]:
    for place in range(min(HEADING_WITHIN_ROWS, len(sheet.rows))):
        names = {name for name in read_heading(sheet, place).folded if name}
        fitting = [
            record
            for record, kind in records.items()
            if {fold(c) for c in kind.required} <= names <= {fold(c) for c in kind.columns}
        ]
        if fitting:
            return fitting
    return []
