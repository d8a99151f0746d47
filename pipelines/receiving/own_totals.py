"""Totals rows in tables of which no mapping says where their totals stand."""

from collections.abc import Iterator, Sequence
from decimal import Decimal

from pipelines.receiving.handed_over import RawRow, Unreadable, fold
from pipelines.receiving.headings import Heading
from pipelines.receiving.written_figures import read_amount

TOTAL_WORDS = frozenset(
    {
        "total", "totals", "sub total", "sub-total", "subtotal", "grand total", "sum",
        "carried forward", "brought forward", "c/f", "b/f", "c/fwd", "b/fwd",
    }
)  # fmt: skip
_NEARLY = Decimal("0.005")

Rows = Sequence[RawRow]


def says_total(row: RawRow) -> bool:
    """Return whether a row begins with the word for a sum, and has figures alone beside it."""
    word = next((cell for cell in row.cells if cell is not None), "")
    if fold(word).removesuffix(":") not in TOTAL_WORDS:
        return False
    figures = [cell for cell in row.cells if cell is not None][1:]
    return bool(figures) and all(read_amount(cell) is not None for cell in figures)


def settle_total(rows: Rows, heading: Heading, at: int, sheet: str) -> str:
    """
    Return why the totals row at place `at` of the sheet's rows is skipped.

    Raises Unreadable where a figure of it is neither the sum of all rows above it nor of those
    since the totals row before it.
    """
    return ", ".join(["totals", *_compare(rows, heading, at, sheet)])


def _compare(rows: Rows, heading: Heading, at: int, sheet: str) -> Iterator[str]:
    above = [row for row in rows[heading.at + 1 : at] if not heading.repeats_in(row)]
    ends = [place for place, row in enumerate(above, 1) if says_total(row)]
    parts = (above[ends[-1] if ends else 0 :], above)
    word = next(place for place, cell in enumerate(rows[at].cells) if cell is not None)
    for place, cell in enumerate(rows[at].cells):
        if cell is None or place == word:
            continue
        shown = heading.shown[place] if place < len(heading.shown) else f"column {place + 1}"
        stated = read_amount(cell) or Decimal(0)
        sums = [_sum(part, place) for part in parts]
        if None in sums:
            yield f'"{shown}" not checked: a row above it has no plain figure'
            continue
        if all(total is None or abs(stated - total) >= _NEARLY for total in sums):
            raise Unreadable(
                f'the totals row {rows[at].row_no} says {stated:,} in "{shown}", '
                f"the rows above it come to {sums[-1]:,}",
                "find the line that is missing or changed and hand the file in again",
                sheet,
            )
        yield f"{stated:,} agrees with the sum"


def _sum(rows: Rows, place: int) -> Decimal | None:
    """Return the sum of a column over rows that are no totals; None where one has no figure."""
    cells = [row.cells[place] for row in rows if place < len(row.cells) and not says_total(row)]
    amounts = [read_amount(cell) for cell in cells]
    found = [amount for amount in amounts if amount is not None]
    return sum(found, Decimal(0)) if len(found) == len(amounts) else None
