"""Where a sheet's heading stands, and what it names."""

import json
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from fnmatch import fnmatchcase

from pipelines.receiving.handed_over import FaultSort, RawRow, RawSheet, Unreadable, fold

HEADING_WITHIN_ROWS = 30
_SHORTEST_ROW_TO_SWALLOW = 4


@dataclass(frozen=True)
class Heading:
    """
    A heading row.

    `at` is its place in the sheet's rows; `folded` its cells as compared ("" where blank);
    `shown` its cells as people read them, each once.
    """

    at: int
    folded: tuple[str, ...]
    shown: tuple[str, ...]

    @property
    def named_width(self) -> int:
        """Return the count of columns up to the last named one."""
        return len(_drop_blanks(self.folded))

    def repeats_in(self, row: RawRow) -> bool:
        """Return whether a row says the heading once more."""
        first = next(place for place, name in enumerate(self.folded) if name)
        if len(row.cells) <= first or fold(row.cells[first]) != self.folded[first]:
            return False
        return _drop_blanks(fold_row(row)) == _drop_blanks(self.folded)

    def places(self, names: Collection[str], sheet: str) -> dict[str, int]:
        """Return name -> column of those that stand here; Unreadable where one stands twice."""
        places: dict[str, int] = {}
        for place, name in enumerate(self.folded):
            if name in names and name in places:
                raise Unreadable(
                    f'the heading "{self.shown[places[name]]}" stands over two columns',
                    "name each column once",
                    sheet,
                )
            if name in names:
                places[name] = place
        return places

    def cell(self, row: RawRow, name: str) -> str | None:
        """Return the row's cell under a heading (folded), None where there is none."""
        place = self.folded.index(name) if name in self.folded else -1
        return row.cells[place] if 0 <= place < len(row.cells) else None

    def fits(self, row: RawRow, where: Mapping[str, str]) -> bool:
        """Return whether the cell under each heading of `where` fits its pattern, both folded."""
        return all(fnmatchcase(fold(self.cell(row, name)), like) for name, like in where.items())

    def tell(self, row: RawRow) -> str:
        """Return the row as JSON of heading to text, filled cells only."""
        width = len(self.shown)
        return json.dumps(
            {
                self.shown[place] if place < width else f"column {place + 1}": cell
                for place, cell in enumerate(row.cells)
                if cell is not None
            },
            ensure_ascii=False,
        )

    def find_fault(self, row: RawRow, delimiter: str) -> str | None:
        """Return why a row of a CSV does not fit its heading, in words; None where it does."""
        surplus = [n for n, cell in enumerate(row.cells[len(self.folded) :], 1) if cell is not None]
        if surplus:
            filled = len(self.folded) + surplus[-1]
            return f"the row has {filled} cells, the heading {len(self.folded)}"
        if len(row.cells) < self.named_width:
            return f"the row has {len(row.cells)} cells, the heading {self.named_width}"
        if self._swallows_rows(row, delimiter):
            return "a quote mark has swallowed the rows below into one cell"
        return None

    def _swallows_rows(self, row: RawRow, delimiter: str) -> bool:
        width = self.named_width
        return width >= _SHORTEST_ROW_TO_SWALLOW and any(
            line.count(delimiter) >= width - 1
            for cell in row.cells
            if cell is not None and "\n" in cell
            for line in cell.splitlines()[1:]
        )


def find_heading(sheet: RawSheet, needed: Sequence[str]) -> Heading:
    """
    Return the first heading, within the first 30 rows, that holds every needed column.

    Raises Unreadable that says which columns are missing and what was found instead.
    """
    wanted = {fold(name): name for name in needed}
    nearest = RawRow(0, ())
    best = 0
    for place, row in enumerate(sheet.rows[:HEADING_WITHIN_ROWS]):
        known = len(wanted.keys() & set(fold_row(row)))
        if known == len(wanted):
            return read_heading(sheet, place)
        if known > best:
            nearest, best = row, known
    raise _not_found(sheet, wanted, nearest)


def read_heading(sheet: RawSheet, at: int) -> Heading:
    """Return the row at that place as a heading."""
    row = sheet.rows[at]
    shown: list[str] = []
    for place, cell in enumerate(row.cells, start=1):
        name = " ".join((cell or "").split()) or f"column {place}"
        shown.append(f"{name} (column {place})" if name in shown else name)
    return Heading(at, fold_row(row), tuple(shown))


def fold_row(row: RawRow) -> tuple[str, ...]:
    """Return the cells of a row as headings are compared."""
    return tuple(fold(cell) for cell in row.cells)


def _drop_blanks(names: tuple[str, ...]) -> tuple[str, ...]:
    """Return the names without the blank ones at the end."""
    last = len(names)
    while last and not names[last - 1]:
        last -= 1
    return names[:last]


def _not_found(sheet: RawSheet, wanted: dict[str, str], nearest: RawRow) -> Unreadable:
    there = set(fold_row(nearest))
    missing = ", ".join(f'"{name}"' for folded, name in wanted.items() if folded not in there)
    if not nearest.cells:
        why = f"no heading with {missing} stands in the first {HEADING_WITHIN_ROWS} rows"
    else:
        found = ", ".join(f'"{cell.strip()}"' for cell in nearest.cells if cell)
        why = f"the heading in row {nearest.row_no} lacks {missing}; it has {found}"
    mend = "name the columns so, or write a mapping for this source"
    return Unreadable(why, mend, sheet.name, FaultSort.COLUMN_MISSING)
