"""The rows of one kind of record, gathered column by column into a frame of text."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import polars as pl

from pipelines.receiving.handed_over import RecordKind, fold
from pipelines.receiving.mappings import Part, SourceMapping

Cells = list[str | None]


@dataclass
class RecordRows:
    """Gathers rows of one record; `columns` are those that the file has, in the order of values."""

    columns: Sequence[str]
    row_nos: list[int] = field(default_factory=list)
    part_nos: list[int] = field(default_factory=list)
    row_texts: list[str] = field(default_factory=list)
    faults: Cells = field(default_factory=list)
    values: list[tuple[str | None, ...]] = field(default_factory=list)

    def add(
        self,
        row_no: int,
        part_no: int,
        values: Iterable[str | None],
        row_text: str,
        fault: str | None,
    ) -> None:
        """Add one row; `values` stand in the order of `columns`."""
        self.row_nos.append(row_no)
        self.part_nos.append(part_no)
        self.values.append(tuple(values))
        self.row_texts.append(row_text)
        self.faults.append(fault)

    def frame(
        self, sheet: str, record: RecordKind, mapping: SourceMapping, part: Part
    ) -> pl.DataFrame:
        """Return the rows as text, with the mapping's words, descriptions and constants in."""
        count = len(self.row_nos)
        cells = {name: list(column) for name, column in self._by_column()}
        _put_words(cells, mapping)
        _fill_from_descriptions(cells, mapping)
        for name, constant in part.constants.items():
            _fill_blanks(cells, name, [constant] * count)
        blank: Cells = [None] * count
        text = {name: cells.get(name, blank) for name in record.columns}
        return pl.DataFrame(
            {
                "sheet": [sheet] * count,
                "row_no": self.row_nos,
                "part_no": self.part_nos,
                **text,
                "row_text": self.row_texts,
                "date_order": [mapping.date_order] * count,
                "fault": self.faults,
            },
            schema=frame_schema(record),
        )

    def _by_column(self) -> Iterable[tuple[str, tuple[str | None, ...]]]:
        if not self.values:
            return ((name, ()) for name in self.columns)
        return zip(self.columns, zip(*self.values, strict=True), strict=True)


def frame_schema(record: RecordKind) -> pl.Schema:
    """Return the columns of a frame of that record as it is handed over."""
    text = dict.fromkeys(record.columns, pl.String())
    return pl.Schema(
        {
            "sheet": pl.String(),
            "row_no": pl.Int64(),
            "part_no": pl.Int64(),
            **text,
            "row_text": pl.String(),
            "date_order": pl.String(),
            "fault": pl.String(),
        }
    )


def _put_words(cells: dict[str, Cells], mapping: SourceMapping) -> None:
    for name, words in mapping.words.items():
        if name in cells:
            cells[name] = [words.get(fold(cell), cell) if cell else cell for cell in cells[name]]


def _fill_from_descriptions(cells: dict[str, Cells], mapping: SourceMapping) -> None:
    if not mapping.descriptions or "description" not in cells:
        return
    described = [mapping.descriptions.get(fold(cell), {}) for cell in cells["description"]]
    for name in {name: None for fills in mapping.descriptions.values() for name in fills}:
        _fill_blanks(cells, name, [fills.get(name) for fills in described])


def _fill_blanks(cells: dict[str, Cells], name: str, fills: Sequence[str | None]) -> None:
    there = cells.get(name) or [None] * len(fills)
    cells[name] = [fill if cell is None else cell for cell, fill in zip(there, fills, strict=True)]
