"""Labels on a sheet, and the cells that they name: beside, below, or behind a colon."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import Literal, NamedTuple

from pipelines.receiving.handed_over import RawRow, Unreadable, fold

Where = Literal["right", "below", "same"]


@dataclass(frozen=True)
class Label:
    """
    A label and our column for what it names.

    `text` is folded, without its colon. `cell` says where the value stands: `away` cells to the
    right or below, or behind a colon in the same cell.
    """

    text: str
    column: str
    cell: Where = "right"
    away: int = 1

    def stands_in(self, cell: str | None) -> bool:
        """Return whether a cell holds the label, in any case, with or without a colon."""
        if self.cell == "same":
            head, colon, _ = (cell or "").partition(":")
            return bool(colon) and fold(head) == self.text
        return fold_label(cell) == self.text


class LabelledCell(NamedTuple):
    """The cell that a label names: its value, None where blank, and where the label stands."""

    label: Label
    value: str | None
    row_no: int


def fold_label(text: str | None) -> str:
    """Return a label as it is compared: case-blind, spaces folded, without a colon at its end."""
    return fold(text).rstrip(": ")


def read_labels(
    rows: Sequence[RawRow], labels: Collection[Label], sheet: str, others: Collection[str] = ()
) -> list[LabelledCell]:
    """
    Return the labels that stand in these rows, in their order, each with the value it names.

    A cell that is itself a label, one of these or of the `others` (folded), is no value. Raises
    Unreadable where a label stands twice, or two differ over one column.
    """
    texts = {label.text for label in labels}.union(others)
    found = []
    for label in labels:
        places = list(_places(rows, label))
        if len(places) > 1:
            said = " and ".join(f"row {rows[at].row_no}" for at, _ in places[:2])
            raise Unreadable(
                f'the label "{label.text}" stands twice, in {said}',
                "name a label that stands once, or part the forms into sheets",
                sheet,
            )
        for at, column in places:
            value = _value(rows, label, at, column)
            blank = label.cell != "same" and fold_label(value) in texts
            found.append(LabelledCell(label, None if blank else value, rows[at].row_no))
    _check_columns(found, sheet)
    return found


def _check_columns(found: Sequence[LabelledCell], sheet: str) -> None:
    first: dict[str, LabelledCell] = {}
    for cell in found:
        if cell.value is None:
            continue
        other = first.setdefault(cell.label.column, cell)
        if other.value != cell.value:
            raise Unreadable(
                f'the labels "{other.label.text}" and "{cell.label.text}" both give '
                f'{cell.label.column}, "{other.value}" and "{cell.value}"',
                "take one of the two out of the mapping, or mend the form",
                sheet,
            )


def _places(rows: Sequence[RawRow], label: Label) -> Iterator[tuple[int, int]]:
    for at, row in enumerate(rows):
        for column, cell in enumerate(row.cells):
            if label.stands_in(cell):
                yield at, column


def _value(rows: Sequence[RawRow], label: Label, at: int, column: int) -> str | None:
    if label.cell == "same":
        return (rows[at].cells[column] or "").partition(":")[2].strip() or None
    down, right = (label.away, 0) if label.cell == "below" else (0, label.away)
    if at + down >= len(rows):
        return None
    cells = rows[at + down].cells
    return cells[column + right] if column + right < len(cells) else None
