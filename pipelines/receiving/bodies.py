"""The rows under a heading: those that may hold records, and those skipped with their reason."""

from collections.abc import Iterator

from pipelines.receiving.handed_over import RawRow, RawSheet, SkippedRow
from pipelines.receiving.headings import Heading
from pipelines.receiving.totals import TotalsCheck


def walk_rows(
    sheet: RawSheet, heading: Heading, totals: TotalsCheck
) -> Iterator[RawRow | SkippedRow]:
    """
    Yield every row of the sheet once, in order: itself, or why it holds no record.

    Raises Unreadable where a totals row does not match the rows above it.
    """
    for place, row in enumerate(sheet.rows):
        if not any(row.cells):
            yield SkippedRow(row.row_no, "blank", "")
        elif place < heading.at:
            yield skip_row(row, "title")
        elif place == heading.at:
            yield skip_row(row, "heading")
        elif heading.repeats_in(row):
            yield skip_row(row, "heading repeated")
        elif totals.is_totals(row):
            yield skip_row(row, totals.settle(row))
        else:
            totals.add(row)
            yield row


def skip_row(row: RawRow, why: str) -> SkippedRow:
    """Return the row as skipped, its filled cells joined as its text."""
    return SkippedRow(row.row_no, why, " | ".join(cell for cell in row.cells if cell is not None))
