"""Wide sheets: several records from one row, one of them perhaps listed in a single cell."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import polars as pl

from pipelines.receiving.bodies import Body, skip_row
from pipelines.receiving.handed_over import (
    RawRow,
    RawSheet,
    ReadSheet,
    RecordKinds,
    SkippedRow,
)
from pipelines.receiving.headings import Heading
from pipelines.receiving.mappings import Part, SourceMapping
from pipelines.receiving.record_rows import RecordRows
from pipelines.receiving.tables import place_columns, take_cells

_BETWEEN_VALUES = re.compile(r"[,;\n]")
_THOUSANDS_OR_TWO = re.compile(r"(?<!\d)\d{1,3},\d{3}(?!\d)")


@dataclass(frozen=True)
class _PlacedPart:
    """A part with our column -> place in the row; `listed` is the column with several values."""

    part: Part
    places: Mapping[str, int]
    cells: frozenset[str]
    listed: str | None

    def take(self, row: RawRow) -> Iterator[tuple[dict[str, str | None], str | None]]:
        """Yield the values of each record in the row, with the fault of an unclear list."""
        cells = take_cells(row, tuple(self.places.values()))
        values = dict(zip(self.places, cells, strict=True))
        if not any(values[column] for column in self.cells):
            return
        if self.listed is None or values[self.listed] is None:
            yield values, None
            return
        cell = values[self.listed] or ""
        fault = _find_list_fault(cell)
        for value in split_list(cell) or [cell]:
            yield values | {self.listed: value}, fault


def read_wide(
    sheet: RawSheet, heading: Heading, mapping: SourceMapping, records: RecordKinds
) -> ReadSheet:
    """
    Return the sheet's rows as a frame per record; `units_counted` is left 0 for the counter.

    Raises Unreadable where the heading or a totals row is at fault.
    """
    parts = [_place_part(heading, part, sheet.name) for part in mapping.parts]
    gathered = [RecordRows(tuple(placed.places)) for placed in parts]
    skipped = []
    for row in Body(sheet, heading, mapping).walk():
        if isinstance(row, SkippedRow):
            skipped.append(row)
            continue
        row_text = heading.tell(row)
        row_fault = heading.find_fault(row, sheet.delimiter) if sheet.delimiter else None
        part_no = 0
        for placed, rows in zip(parts, gathered, strict=True):
            for values, fault in placed.take(row):
                part_no += 1
                rows.add(row.row_no, part_no, values.values(), row_text, row_fault or fault)
        if not part_no:
            skipped.append(skip_row(row, row_fault or "no cell of a record is filled"))
    return ReadSheet(sheet.name, _frames(sheet, mapping, gathered, records), tuple(skipped), 0)


def split_list(cell: str) -> list[str]:
    """Return the values of a cell that lists several, parted by commas, semicolons or lines."""
    return [value.strip() for value in _BETWEEN_VALUES.split(cell) if value.strip()]


def _find_list_fault(cell: str) -> str | None:
    if _THOUSANDS_OR_TWO.search(cell):
        return f'"{cell}" reads as one figure or as two: part the values with ";"'
    return None


def _place_part(heading: Heading, part: Part, sheet: str) -> _PlacedPart:
    places = place_columns(heading, part, sheet)
    cells = frozenset(part.cells.values()) & places.keys()
    listed = part.cells[part.list_heading] if part.list_heading else None
    return _PlacedPart(part, places, cells, listed if listed in places else None)


def _frames(
    sheet: RawSheet, mapping: SourceMapping, gathered: list[RecordRows], records: RecordKinds
) -> dict[str, pl.DataFrame]:
    frames: dict[str, list[pl.DataFrame]] = {}
    for part, rows in zip(mapping.parts, gathered, strict=True):
        record = records[part.record]
        frame = rows.frame(sheet.name, record, mapping, part, typed=not sheet.delimiter)
        frames.setdefault(part.record, []).append(frame)
    return {
        record: pl.concat(of_record).sort("row_no", "part_no")
        for record, of_record in frames.items()
    }
