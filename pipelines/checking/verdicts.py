"""One received row as versions see it, and what becomes of it."""

from collections import defaultdict
from collections.abc import Hashable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

import polars as pl

from pipelines.checking.findings import Fault

FREE_TEXT = frozenset(
    {"description", "notes", "words", "reason", "why", "by", "decided_by", "closed_by", "colour"}
)
"""Columns in which a different value is no contradiction."""

_KEPT = {"row_id": pl.Int64, "given_entry": pl.String}

RIGHT_ONE = "correct the one that is wrong and hand that file in again"


class Row(NamedTuple):
    """
    One typed row: where it came from and the columns that it fills.

    `filled` holds None where the row empties a column; `twin` is the row of an equal sheet that
    came before; `answers` names the unreadable row that this one brings mended.
    """

    row_id: int
    receipt_no: int
    batch_no: int
    document: str
    file_name: str
    sheet: str
    row_no: int
    filled: Mapping[str, Any]
    twin: int | None
    answers: str | None = None

    @property
    def place(self) -> str:
        """Return where a person finds the row."""
        sheet = f", sheet {self.sheet}" if self.sheet else ""
        return f"{self.file_name}{sheet}, row {self.row_no}"


@dataclass
class Resolved:
    """
    What became of the rows: entries of kept ones, reasons of held ones, faults.

    `held_as` names, by held row, the row that told the same before.
    `alone` are kept rows, with `given_entry`, that nothing else received could stand against.
    """

    kept: dict[int, str | None] = field(default_factory=dict)
    already_held: dict[int, str] = field(default_factory=dict)
    faults: list[Fault] = field(default_factory=list)
    held_as: dict[int, int] = field(default_factory=dict)
    alone: pl.DataFrame = field(default_factory=lambda: pl.DataFrame(schema=_KEPT))
    _settled: dict[int, Row] = field(default_factory=dict)

    def keep(self, row: Row, entry: str | None = None) -> None:
        """Keep `row`, under `entry` where rows of its key add up."""
        self.kept[row.row_id] = entry
        self._settled[row.row_id] = row

    def kept_rows(self) -> pl.DataFrame:
        """Return `row_id` and `given_entry` of the rows kept."""
        kept = {"row_id": list(self.kept), "given_entry": list(self.kept.values())}
        return pl.concat([self.alone, pl.DataFrame(kept, schema=_KEPT)])

    def hold(self, row: Row, held: Row) -> None:
        """Say that `row` tells nothing that `held` does not."""
        self.already_held[row.row_id] = f"already held from {held.place}"
        self.held_as[row.row_id] = held.row_id
        self._settled[row.row_id] = row

    def first_told(self) -> pl.DataFrame:
        """Return, by held row (`row_id`), the kept row that told the same (`told_by`)."""
        told = {row_id: self._first_of(row_id) for row_id in self.held_as}
        shape = {"row_id": pl.Int64, "told_by": pl.Int64}
        return pl.DataFrame({"row_id": list(told), "told_by": list(told.values())}, schema=shape)

    def _first_of(self, row_id: int) -> int:
        while row_id not in self.kept and self.held_as.get(row_id, row_id) != row_id:
            row_id = self.held_as[row_id]
        return row_id

    def hold_as_twin(self, row: Row) -> bool:
        """Hold `row` where it stands in a sheet that is held whole; return whether it does."""
        for twin in self.twins_of([row]):
            self.hold(row, twin)
            return True
        return False

    def twins_of(self, rows: Iterable[Row]) -> list[Row]:
        """Return the rows of an equal sheet that are in force or held, and say what `rows` do."""
        found = [(row, self._settled.get(row.twin)) for row in rows if row.twin is not None]
        return [twin for row, twin in found if twin is not None and twin.filled == row.filled]

    def reject(self, row: Row, column: str | None, reason: str, remedy: str) -> None:
        """Reject `row`."""
        value = None if column is None else str(row.filled.get(column))
        self.faults.append(Fault(row.row_id, column, value, reason, remedy))

    def contradict(self, row: Row, other: Row, column: str) -> None:
        """Reject `row` because `other` says something else in `column`."""
        reason = f"contradicts {other.place}, which says {other.filled[column]}"
        self.reject(row, column, reason, RIGHT_ONE)

    def take_in(self, other: "Resolved") -> None:
        """Add what became of other rows."""
        self.kept |= other.kept
        self.already_held |= other.already_held
        self.held_as |= other.held_as
        self.faults += other.faults


def rows_by_batch(rows: Iterable[Row]) -> Iterable[list[Row]]:
    """Return `rows`, which stand in the order of receipt, batch by batch."""
    batches: dict[int, list[Row]] = defaultdict(list)
    for row in rows:
        batches[row.batch_no].append(row)
    return batches.values()


def rows_by_receipt(rows: Iterable[Row]) -> list[list[Row]]:
    """Return `rows` receipt by receipt."""
    receipts: dict[int, list[Row]] = defaultdict(list)
    for row in rows:
        receipts[row.receipt_no].append(row)
    return list(receipts.values())


def rows_by_columns(rows: Iterable[Row], names: Sequence[str]) -> Iterable[list[Row]]:
    """Return `rows` in groups that are equal in the columns `names`; blank equals blank."""
    groups: dict[Hashable, list[Row]] = defaultdict(list)
    for row in rows:
        groups[tuple([row.filled.get(name) for name in names])].append(row)
    return groups.values()
