"""Rows that sum others: found, checked against the sum, skipped."""

import re
from dataclasses import dataclass, field
from decimal import Decimal
from fnmatch import fnmatchcase

from pipelines.receiving.handed_over import RawRow, Unreadable, fold
from pipelines.receiving.headings import Heading
from pipelines.receiving.mappings import Totals

_NEARLY = Decimal("0.005")
_AMOUNT = re.compile(r"[+-]?\d+(?:\.\d*)?|[+-]?\.\d+")


@dataclass
class TotalsCheck:
    """Sums the rows of a sheet as they pass and holds each totals row against them."""

    totals: Totals | None
    heading: Heading
    sheet: str
    _since: dict[str, Decimal] = field(default_factory=dict)
    _all: dict[str, Decimal] = field(default_factory=dict)
    _unclear: dict[str, str] = field(default_factory=dict)

    def is_totals(self, row: RawRow) -> bool:
        """Return whether the row sums others."""
        return self.totals is not None and all(
            fnmatchcase(fold(self._cell(row, name)), pattern)
            for name, pattern in self.totals.where.items()
        )

    def add(self, row: RawRow) -> None:
        """Count a row in."""
        for name in self.totals.sums if self.totals else ():
            cell = self._cell(row, name)
            amount = read_amount(cell)
            if amount is None:
                self._unclear[name] = f'row {row.row_no} has "{cell}"'
                continue
            self._since[name] = self._since.get(name, Decimal(0)) + amount
            self._all[name] = self._all.get(name, Decimal(0)) + amount

    def settle(self, row: RawRow) -> str:
        """Return why the totals row is skipped; Unreadable where it does not match the sum."""
        names = self.totals.sums if self.totals else ()
        said = [self._compare(row, name) for name in names if self._cell(row, name)]
        self._since.clear()
        return ", ".join(["totals", *said]) if said else "totals, no figure to check"

    def _compare(self, row: RawRow, name: str) -> str:
        cell = self._cell(row, name)
        shown = self.heading.shown[self.heading.folded.index(name)]
        if name in self._unclear:
            return f'"{shown}" not checked: {self._unclear[name]}'
        stated = read_amount(cell)
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

    def _cell(self, row: RawRow, name: str) -> str | None:
        place = self.heading.folded.index(name) if name in self.heading.folded else -1
        return row.cells[place] if 0 <= place < len(row.cells) else None


def read_amount(cell: str | None) -> Decimal | None:
    """
    Return the amount that a cell shows, 0 where blank, None where it shows no plain figure.

    Understands a currency sign, thousands commas, and (45.00), 45.00- or 45.00 CR for below zero.
    """
    if cell is None:
        return Decimal(0)
    text = re.sub(r"[\s£€$]|GBP", "", cell, flags=re.IGNORECASE).upper()
    below = text.endswith(("-", "CR")) or (text.startswith("(") and text.endswith(")"))
    text = text.removesuffix("CR").removesuffix("-").strip("()")
    if re.fullmatch(r"[+-]?\d{1,3}(,\d{3})+(\.\d*)?", text):
        text = text.replace(",", "")
    if not _AMOUNT.fullmatch(text):
        return None
    return -Decimal(text) if below else Decimal(text)
