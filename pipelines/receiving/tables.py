"""Tables: one row of the sheet is one row of a record."""

from collections.abc import Mapping
from dataclasses import replace

import polars as pl

from pipelines.receiving.blocks import Blocks
from pipelines.receiving.bodies import Body, find_body_end, skip_row
from pipelines.receiving.handed_over import (
    RawRow,
    RawSheet,
    ReadSheet,
    RecordKind,
    RecordKinds,
    SkippedRow,
    Unreadable,
)
from pipelines.receiving.headings import Heading
from pipelines.receiving.mappings import Part, SourceMapping
from pipelines.receiving.record_rows import RecordRows
from pipelines.receiving.several_tables import part_tables, read_title

_OUTSIDE = "stands below the table's end, yet looks like a line of it: take the blank row out"


def read_table(
    sheet: RawSheet, heading: Heading, mapping: SourceMapping, records: RecordKinds
) -> ReadSheet:
    """
    Return the sheet's rows as one frame; `units_counted` is left 0 for the counter.

    Raises Unreadable where a heading, a title or a totals row is at fault.
    """
    (part,) = mapping.parts
    record = records[part.record]
    skipped: list[SkippedRow] = []
    frames = []
    for table in part_tables(sheet, heading, mapping):
        titled = replace(part, constants={**part.constants, **read_title(table, mapping)})
        body = Body(table.sheet, table.heading, mapping)
        gathered = _gather(body, titled, record, skipped)
        typed = not sheet.delimiter
        frames.append(gathered.frame(sheet.name, record, mapping, titled, typed=typed))
    return ReadSheet(sheet.name, {part.record: pl.concat(frames)}, tuple(skipped), units_counted=0)


def _gather(body: Body, part: Part, record: RecordKind, skipped: list[SkippedRow]) -> RecordRows:
    sheet = body.sheet
    places = place_columns(body.heading, part, sheet.name)
    gathered = RecordRows(tuple(places))
    columns = tuple(places.values())
    awaited = _find_awaited(places, part, record)
    end = len(sheet.rows)
    if body.mapping.ends_at_blank_row:
        end = find_body_end(sheet.rows, body.heading.at)
    last_no = sheet.rows[end - 1].row_no
    repeats = _place_repeats(body, part, sheet.name)
    blocks = Blocks(repeats, sheet.rows) if repeats else None
    for row in body.walk():
        if isinstance(row, SkippedRow):
            skipped.append(row)
            if blocks:
                blocks.pass_over(row, body)
            continue
        if awaited and not any(take_cells(row, awaited)):
            skipped.append(skip_row(row, f"no {' or '.join(record.awaits)} filled in"))
            continue
        fault = body.heading.find_fault(row, sheet.delimiter) if sheet.delimiter else None
        fault = fault or (_OUTSIDE if row.row_no > last_no else None)
        whole, filled = blocks.fill(row) if blocks else (row, ())
        cells = take_cells(whole, columns)
        gathered.add(row.row_no, 1, cells, body.heading.tell(row), fault, changes=filled)
    return gathered


def _find_awaited(places: Mapping[str, int], part: Part, record: RecordKind) -> tuple[int, ...]:
    """Return the places of the cells of which a person fills one; none where a constant does."""
    if any(name in part.constants for name in record.awaits):
        return ()
    return tuple(places[name] for name in record.awaits if name in places)


def _place_repeats(body: Body, part: Part, sheet: str) -> dict[int, str]:
    """Return the places of cells that stand once for their rows, with our column or the heading."""
    places = body.heading.places(body.mapping.repeats, sheet)
    return {place: part.columns.get(name, name) for name, place in places.items()}


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
    for split in part.splits:
        at = heading.places([split.heading], sheet).get(split.heading)
        places |= {} if at is None else {split.key: at}
    return places


def take_cells(row: RawRow, places: tuple[int, ...]) -> list[str | None]:
    """Return the cells at those places; None where the row ends before one."""
    cells = row.cells
    width = len(cells)
    return [cells[place] if place < width else None for place in places]
