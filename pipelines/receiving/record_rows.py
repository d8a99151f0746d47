"""The rows of one kind of record, gathered column by column into a frame of text."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import polars as pl

from pipelines.receiving.amounts import AS_STATED, put_marks, sign_credits, take_out_vat
from pipelines.receiving.described import fill_blanks, fill_from_descriptions
from pipelines.receiving.handed_over import Cells, RecordKind, fold
from pipelines.receiving.mappings import Part, SourceMapping
from pipelines.receiving.mends import Change, Mends
from pipelines.receiving.splitting import split_cells

_MARK = "decimal mark, as this source writes"
_VAT = "VAT taken out"
_SIGN = "sign of credits, as this source writes"


@dataclass
class RecordRows:
    """Gathers rows of one record; `columns` are those that the file has, in the order of values."""

    columns: Sequence[str]
    row_nos: list[int] = field(default_factory=list)
    part_nos: list[int] = field(default_factory=list)
    row_texts: list[str] = field(default_factory=list)
    faults: Cells = field(default_factory=list)
    values: list[tuple[str | None, ...]] = field(default_factory=list)
    changes: dict[int, Sequence[Change]] = field(default_factory=dict)

    def add(
        self,
        row_no: int,
        part_no: int,
        values: Iterable[str | None],
        row_text: str,
        fault: str | None,
        *,
        changes: Sequence[Change] = (),
    ) -> None:
        """Add one row; `values` stand in the order of `columns`, `changes` are told of them."""
        if changes:
            self.changes[len(self.row_nos)] = changes
        self.row_nos.append(row_no)
        self.part_nos.append(part_no)
        self.values.append(tuple(values))
        self.row_texts.append(row_text)
        self.faults.append(fault)

    def frame(
        self,
        sheet: str,
        record: RecordKind,
        mapping: SourceMapping,
        part: Part,
        *,
        typed: bool = False,
    ) -> pl.DataFrame:
        """
        Return the rows as text, with the mapping's words, descriptions and constants in.

        `typed` says that the file may hold true numbers beside text, as a workbook does.
        """
        count = len(self.row_nos)
        cells = {name: list(column) for name, column in self._by_column()}
        amounts, mends = mapping.amounts, Mends(count)
        for row, changes in self.changes.items():
            mends.note(row, changes)
        faults = [split_cells(cells, split) for split in part.splits if split.key in cells]
        _put_words(cells, mapping)
        with mends.noting(cells, _MARK, when=amounts.mark is not None):
            faults += put_marks(cells, record.figures, amounts.mark, typed=typed)
        faults.append(fill_from_descriptions(cells, mapping.described))
        for name, constant in part.constants.items():
            fill_blanks(cells, name, [constant] * count)
        with mends.noting(cells, _VAT, when=amounts.vat_included):
            faults += take_out_vat(cells, amounts)
        with mends.noting(cells, _SIGN, when=amounts.credits != AS_STATED):
            faults += sign_credits(cells, amounts)
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
                "fault": _first_faults([self.faults, *faults], count),
                "mended": mends.as_texts(),
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
            "mended": pl.String(),
        }
    )


def _put_words(cells: dict[str, Cells], mapping: SourceMapping) -> None:
    for name, words in mapping.words.items():
        if name in cells:
            cells[name] = [words.get(fold(cell), cell) if cell else cell for cell in cells[name]]


def _first_faults(faults: Sequence[Cells], count: int) -> Cells:
    told = [found for found in faults if found]
    if len(told) == 1:
        return told[0]
    return [next((found[row] for found in told if found[row]), None) for row in range(count)]
