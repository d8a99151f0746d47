"""The rows under a heading: those that may hold records, and those skipped with their reason."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from pipelines.receiving.handed_over import RawRow, RawSheet, SkippedRow, fold
from pipelines.receiving.headings import Heading
from pipelines.receiving.mappings import Skip, SourceMapping
from pipelines.receiving.own_totals import says_total, settle_total
from pipelines.receiving.totals import TotalsCheck


@dataclass(frozen=True)
class Body:
    """The rows of one table of a sheet: how its heading and its mapping sort them."""

    sheet: RawSheet
    heading: Heading
    mapping: SourceMapping

    def walk(self) -> Iterator[RawRow | SkippedRow]:
        """
        Yield every row of the sheet once, in order: itself, or why it holds no record.

        Raises Unreadable where a totals row does not match the rows above it.
        """
        mark = self.mapping.amounts.mark
        totals = TotalsCheck(self.mapping.totals, self.heading, self.sheet.name, mark)
        is_over = False
        for place, row in enumerate(self.sheet.rows):
            if not any(row.cells):
                is_over = place > self.heading.at and self.mapping.ends_at_blank_row
                yield SkippedRow(row.row_no, "blank", "")
                continue
            why = self._find_reason(place, row, totals)
            if why is None and is_over and not self.looks_like_line(row):
                why = "outside the table"
            if why is not None:
                yield skip_row(row, why)
                continue
            totals.add(row)
            yield row

    def looks_like_line(self, row: RawRow) -> bool:
        """Return whether a row fills every column by which the heading was found, and no title."""
        labels = self.mapping.shared
        if any(label.stands_in(cell) for cell in row.cells for label in labels):
            return False
        needed = {fold(name) for name in self.mapping.header}
        places = self.heading.places(needed, self.sheet.name).values()
        return all(place < len(row.cells) and row.cells[place] for place in places)

    def _find_reason(self, place: int, row: RawRow, totals: TotalsCheck) -> str | None:
        if place < self.heading.at:
            return "title"
        if place == self.heading.at:
            return "heading"
        if self.heading.repeats_in(row):
            return "heading repeated"
        if totals.is_totals(row):
            return totals.settle(row)
        if self.mapping.totals is None and self.mapping.kind == "table" and says_total(row):
            return settle_total(self.sheet.rows, self.heading, place, self.sheet.name)
        skip = self.find_skip(row)
        return None if skip is None else skip.why

    def find_skip(self, row: RawRow) -> Skip | None:
        """Return the first rule of the mapping by which a row says nothing to book."""
        skips = self.mapping.skips
        return next((skip for skip in skips if self.heading.fits(row, skip.where)), None)


def skip_row(row: RawRow, why: str) -> SkippedRow:
    """Return the row as skipped, its filled cells joined as its text."""
    return SkippedRow(row.row_no, why, " | ".join(cell for cell in row.cells if cell is not None))


def find_body_end(rows: Sequence[RawRow], heading_at: int) -> int:
    """Return the place of the first blank row below a heading, the rows' count where none is."""
    below = range(heading_at + 1, len(rows))
    return next((place for place in below if not any(rows[place].cells)), len(rows))
