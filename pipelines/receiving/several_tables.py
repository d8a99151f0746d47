"""Sheets with several tables, each with a heading of its own and perhaps a title above it."""

from collections.abc import Collection, Iterator, Sequence
from typing import NamedTuple

from pipelines.receiving.bodies import find_body_end
from pipelines.receiving.handed_over import RawRow, RawSheet, fold
from pipelines.receiving.headings import Heading, fold_row, read_heading
from pipelines.receiving.labels import read_labels
from pipelines.receiving.mappings import SourceMapping, Texts


class Table(NamedTuple):
    """One table: the rows from its heading to the next, its heading, and the rows of its title."""

    sheet: RawSheet
    heading: Heading
    title: Sequence[RawRow]


def part_tables(sheet: RawSheet, first: Heading, mapping: SourceMapping) -> Iterator[Table]:
    """
    Yield the tables of a sheet, `first` being the heading of the first.

    The rows above the first heading stand with the first table, so that every row of the sheet
    stands in one. Where a mapping knows one table, that is the whole sheet.
    """
    rows = sheet.rows
    starts = [first.at]
    if mapping.several:
        needed = {fold(name) for name in mapping.header}
        starts += [at for at in range(first.at + 1, len(rows)) if _is_heading(rows[at], needed)]
    above = 0
    for number, at in enumerate(starts):
        begin = at if number else 0
        end = starts[number + 1] if number + 1 < len(starts) else len(rows)
        part = RawSheet(sheet.name, rows[begin:end], sheet.delimiter)
        yield Table(part, read_heading(part, at - begin), rows[above:at])
        above = find_body_end(rows[:end], at) if mapping.ends_at_blank_row else end


def read_title(table: Table, mapping: SourceMapping) -> Texts:
    """
    Return our column -> what a label above the table names.

    Raises Unreadable where a label stands twice.
    """
    found = read_labels(table.title, mapping.shared, table.sheet.name)
    return {cell.label.column: cell.value for cell in found if cell.value is not None}


def _is_heading(row: RawRow, needed: Collection[str]) -> bool:
    return set(needed) <= set(fold_row(row))
