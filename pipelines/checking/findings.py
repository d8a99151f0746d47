"""What judging found in the rows: faults and repairs, collected by row."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import polars as pl

FAULT_COLUMNS: dict[str, type[pl.DataType]] = {
    "row_id": pl.Int64,
    "column_name": pl.String,
    "value": pl.String,
    "reason": pl.String,
    "remedy": pl.String,
}
REPAIR_COLUMNS: dict[str, type[pl.DataType]] = {
    "row_id": pl.Int64,
    "column_name": pl.String,
    "value_before": pl.String,
    "value_after": pl.String,
    "rule": pl.String,
    "mends": pl.Boolean,
}


@dataclass(frozen=True)
class Fault:
    """One reason to reject a row."""

    row_id: int
    column_name: str | None
    value: str | None
    reason: str
    remedy: str


@dataclass(frozen=True)
class Repair:
    """One value mended (`mends`), or only converted from one known unit to another."""

    row_id: int
    column_name: str
    value_before: str | None
    value_after: str | None
    rule: str
    mends: bool = True


class Found:
    """Rows of one shape, added one by one or many at once, kept in the order in which they came."""

    def __init__(self, columns: Mapping[str, type[pl.DataType]]) -> None:
        """Begin without a row."""
        self._columns = columns
        self._frames = [pl.DataFrame(schema=columns)]
        self._single: list[tuple[object, ...]] = []

    def add(self, cells: Iterable[tuple[object, ...]]) -> None:
        """Add rows cell by cell."""
        self._single.extend(cells)

    def add_rows(self, rows: pl.DataFrame) -> None:
        """Add the rows of a frame."""
        self._settle()
        self._frames.append(rows.select(*self._columns))

    def frame(self) -> pl.DataFrame:
        """Return all rows."""
        self._settle()
        self._frames = [pl.concat(self._frames)]
        return self._frames[0]

    def _settle(self) -> None:
        if self._single:
            self._frames.append(pl.DataFrame(self._single, schema=self._columns, orient="row"))
            self._single = []


@dataclass
class Findings:
    """Faults and repairs of one kind of record, in the order in which they were found."""

    _faults: Found = field(default_factory=lambda: Found(FAULT_COLUMNS))
    _repairs: Found = field(default_factory=lambda: Found(REPAIR_COLUMNS))

    def reject(self, faults: Iterable[Fault]) -> None:
        """Add faults."""
        self._faults.add(
            (one.row_id, one.column_name, one.value, one.reason, one.remedy) for one in faults
        )

    def reject_rows(self, faults: pl.DataFrame) -> None:
        """Add faults, one row each, in `FAULT_COLUMNS`."""
        self._faults.add_rows(faults)

    def mend(self, repairs: Iterable[Repair]) -> None:
        """Add repairs."""
        self._repairs.add(
            (one.row_id, one.column_name, one.value_before, one.value_after, one.rule, one.mends)
            for one in repairs
        )

    def mend_rows(self, repairs: pl.DataFrame) -> None:
        """Add repairs, one row each, in `REPAIR_COLUMNS`."""
        self._repairs.add_rows(repairs)

    def faulty(self) -> pl.Series:
        """Return the rows that have a fault, each once."""
        return self.faults()["row_id"].unique()

    def faults(self) -> pl.DataFrame:
        """Return the faults, one row each, in the order in which they were found."""
        return self._faults.frame()

    def repairs(self) -> pl.DataFrame:
        """Return the repairs, one row each, in the order in which they were made."""
        return self._repairs.frame()
