"""Rows that sum others: found, checked against the sum, skipped."""

from dataclasses import dataclass, field
from decimal import Decimal

from pipelines.receiving.handed_over import RawRow, Unreadable
from pipelines.receiving.headings import Heading
from pipelines.receiving.mappings import Totals
from pipelines.receiving.written_figures import Mark, plain_figures, read_amount

_NEARLY = Decimal("0.005")


@dataclass
class TotalsCheck:
    """Sums the rows of a sheet as they pass and holds each totals row against them."""

    totals: Totals | None
    heading: Heading
    sheet: str
    mark: Mark | None = None
    _since: dict[str, Decimal] = field(default_factory=dict)
    _all: dict[str, Decimal] = field(default_factory=dict)
    _unclear: dict[str, str] = field(default_factory=dict)

    def is_totals(self, row: RawRow) -> bool:
        """Return whether the row sums others."""
        return self.totals is not None and self.heading.fits(row, self.totals.where)

    def add(self, row: RawRow) -> None:
        """Count a row in."""
        for name in self.totals.sums if self.totals else ():
            cell = self.heading.cell(row, name)
            amount = self._read(cell)
            if amount is None:
                self._unclear[name] = f'row {row.row_no} has "{cell}"'
                continue
            self._since[name] = self._since.get(name, Decimal(0)) + amount
            self._all[name] = self._all.get(name, Decimal(0)) + amount

    def settle(self, row: RawRow) -> str:
        """Return why the totals row is skipped; Unreadable where it does not match the sum."""
        names = self.totals.sums if self.totals else ()
        said = [self._compare(row, name) for name in names if self.heading.cell(row, name)]
        self._since.clear()
        return ", ".join(["totals", *said]) if said else "totals, no figure to check"

    def _compare(self, row: RawRow, name: str) -> str:
        cell = self.heading.cell(row, name)
        shown = self.heading.shown[self.heading.folded.index(name)]
        if name in self._unclear:
            return f'"{shown}" not checked: {self._unclear[name]}'
        stated = self._read(cell)
        if stated is None:
            return f'"{shown}" not checked: it says "{cell}"'
        sums = (self._since.get(name, Decimal(0)), self._all.get(name, Decimal(0)))
        if all(abs(stated - total) >= _NEARLY for total in sums):
            raise Unreadable(
                f'the totals row {row.row_no} says {stated:,} in "{shown}", '
                f"the rows above it come to {sums[0]:,}",
                "find the line that is missing or changed and hand the file in again",
                self.sheet,
            )
        return f"{stated:,} agrees with the sum"

    def _read(self, cell: str | None) -> Decimal | None:
        if self.mark is None or cell is None:
            return read_amount(cell)
        plain = plain_figures(cell, self.mark, typed=True)
        return None if plain is None else read_amount(plain)
