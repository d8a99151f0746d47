"""Tables: one row of the sheet is one row of a record."""

from pipelines.receiving.bodies import skip_row, walk_rows
from pipelines.receiving.handed_over import (
    RawRow,
    RawSheet,
    ReadSheet,
    RecordKinds,
    SkippedRow,
    Unreadable,
)
from pipelines.receiving.headings import Heading
from pipelines.receiving.mappings import Part, SourceMapping
from pipelines.receiving.record_rows import RecordRows
from pipelines.receiving.totals import TotalsCheck


def read_table(
    sheet: RawSheet, heading: Heading, mapping: SourceMapping, records: RecordKinds
) -> ReadSheet:
    """
    Return the sheet's rows as one frame; `units_counted` is left 0 for the counter.

    Raises Unreadable where the heading or a totals row is at fault.
    """
    (part,) = mapping.parts
    places = place_columns(heading, part, sheet.name)
    gathered = RecordRows(tuple(places))
    columns = tuple(places.values())
    skipped = []
    awaited = places.get(records[part.record].awaits or "")
    if records[part.record].awaits in part.constants:
        awaited = None
    for row in walk_rows(sheet, heading, TotalsCheck(mapping.totals, heading, sheet.name)):
        if isinstance(row, SkippedRow):
            skipped.append(row)
            continue
        if awaited is not None and take_cells(row, (awaited,)) == [None]:
            skipped.append(skip_row(row, f"no {records[part.record].awaits} filled in"))
            continue
        fault = heading.find_fault(row, sheet.delimiter) if sheet.delimiter else None
        values = take_cells(row, columns)
        gathered.add(row.row_no, 1, values, heading.tell(row), fault)
    frame = gathered.frame(sheet.name, records[part.record], mapping, part)
    return ReadSheet(sheet.name, {part.record: frame}, tuple(skipped), units_counted=0)


def place_columns(heading: Heading, part: Part, sheet: str) -> dict[str, int]:
    """
    Return our column -> place in the row, for the part's columns that the heading names.

    Raises Unreadable where a heading stands twice or two headings mean one column.
    """
    places: dict[str, int] = {}
    for name, place in heading.places(part.columns, sheet).items():
        column = part.columns[name]
        if column in places:
            raise Unreadable(
                f'the headings "{heading.shown[places[column]]}" and "{heading.shown[place]}" '
                f"are both mapped to {column}",
                "take one of the two out of the mapping",
                sheet,
            )
        places[column] = place
    return places


def take_cells(row: RawRow, places: tuple[int, ...]) -> list[str | None]:
    """Return the cells at those places; None where the row ends before one."""
    cells = row.cells
    width = len(cells)
    return [cells[place] if place < width else None for place in places]
