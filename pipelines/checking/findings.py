"""What judging found in the rows: faults and repairs, collected by row."""

from collections.abc import Iterable
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


@dataclass
class Findings:
    """Faults and repairs of one kind of record."""

    _faults: list[Fault] = field(default_factory=list)
    _repairs: list[Repair] = field(default_factory=list)

    def reject(self, faults: Iterable[Fault]) -> None:
        """Add faults."""
        self._faults.extend(faults)

    def mend(self, repairs: Iterable[Repair]) -> None:
        """Add repairs."""
        self._repairs.extend(repairs)

    def faulty(self) -> set[int]:
        """Return the rows that have a fault."""
        return {fault.row_id for fault in self._faults}

    def faults(self) -> pl.DataFrame:
        """Return the faults, one row each, in the order in which they were found."""
        return pl.DataFrame([vars(fault) for fault in self._faults], schema=FAULT_COLUMNS)

    def repairs(self) -> pl.DataFrame:
        """Return the repairs, one row each, in the order in which they were made."""
        return pl.DataFrame([vars(repair) for repair in self._repairs], schema=REPAIR_COLUMNS)
