"""Cells that a source writes once, in the first row of those that share them."""

from collections.abc import Mapping, Sequence

from pipelines.receiving.bodies import Body
from pipelines.receiving.handed_over import RawRow, SkippedRow
from pipelines.receiving.mends import Change


class Blocks:
    """
    Fills the cells that stand once for a block of rows, as where cells are merged.

    A row that fills one of them begins a block, and says all of them: what it leaves blank stays
    blank down to the next block, and is never taken from the block before.
    """

    def __init__(self, places: Mapping[int, str], rows: Sequence[RawRow]) -> None:
        """Begin before the first block; `places` are those cells of the rows, with our columns."""
        self._places = places
        self._rows = {row.row_no: row for row in rows}
        self._first: RawRow | None = None

    def pass_over(self, skipped: SkippedRow, body: Body) -> None:
        """See a row that holds no record: one that the mapping passes over may begin a block."""
        row = self._rows[skipped.row_no]
        skip = body.find_skip(row)
        if skip is not None and skip.begins and skip.why == skipped.why:
            self._see(row)

    def _see(self, row: RawRow) -> None:
        if any(_cell(row, place) for place in self._places):
            self._first = row

    def fill(self, row: RawRow) -> tuple[RawRow, Sequence[Change]]:
        """Return the row with the cells of its block, and what was filled in."""
        self._see(row)
        first = self._first
        if first is None or first is row:
            return row, ()
        cells = list(row.cells)
        cells += [None] * (max(self._places) + 1 - len(cells))
        changes = []
        for place, column in self._places.items():
            cells[place] = _cell(first, place)
            if cells[place]:
                why = f"written once for its rows, in row {first.row_no}"
                changes.append((column, None, cells[place], why))
        return RawRow(row.row_no, tuple(cells)), changes


def _cell(row: RawRow, place: int) -> str | None:
    return row.cells[place] if place < len(row.cells) else None
