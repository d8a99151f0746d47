"""The lines of a PDF under its heading: which cell stands under which name."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from pipelines.receiving.handed_over import SkippedRow, Unreadable, fold
from pipelines.receiving.mappings import Part
from pipelines.receiving.pdf_lines import Cell, Line
from pipelines.receiving.pdf_proof import Proof, read_figure
from pipelines.receiving.pdf_rules import AMOUNT_OF
from pipelines.receiving.splitting import match_groups
from pipelines.receiving.written_figures import Mark

_DESCRIPTION = "description"
_BOTH = 0.5
"""A cell that covers this share of two headings could stand under either."""

_NEXT_LINE = 2.2
"""A line goes on with the one above it where it stands within this many heights below."""
_NEARER = 2
"""A cell under no heading belongs to the nearest where any other is this many times as far."""

Told = Mapping[str, str]


@dataclass
class PdfItem:
    """A line of the document: our columns, and its cells by the names that the PDF gives them."""

    row_no: int
    values: dict[str, str]
    told: Told

    @property
    def row_text(self) -> str:
        """Return the cells as JSON."""
        return json.dumps(dict(self.told), ensure_ascii=False)


@dataclass
class PdfTable:
    """
    Sorts the lines of a PDF: items, and those that hold none with the reason.

    `header` names the headings that tell the table; where there is none, `patterns` of whole lines
    tell the items. `proof` names the lines of totals and charges, which end a table.
    """

    header: Sequence[str]
    patterns: Sequence[str]
    part: Part
    mark: Mark | None
    proof: Proof
    items: list[PdfItem] = field(default_factory=list)
    skipped: list[SkippedRow] = field(default_factory=list)
    _last: Line | None = None

    def sort(self, lines: Sequence[Line]) -> None:
        """
        Sort every line once, in order; Unreadable where a cell could stand under two names.

        A table goes on over a page that has no heading of its own.
        """
        heading: tuple[Cell, ...] = ()
        headed = {line.page for line in lines if is_heading(line, self.header)}
        page = 0
        for line in lines:
            heading = () if line.page != page and line.page in headed else heading
            page = line.page
            if is_heading(line, self.header):
                heading = line.cells
                self._skip(line, "heading")
            elif line.row_no in self.proof.charges:
                heading = ()
                self._add_charge(line)
            elif line.row_no in self.proof.row_nos:
                heading = ()
                self._skip(line, "totals")
            else:
                self._sort_line(line, heading)

    def _sort_line(self, line: Line, heading: Sequence[Cell]) -> None:
        told, unclear = _place(line, heading) if heading else (self._match(line), "")
        columns = self.part.columns if heading else {fold(name): name for name in told}
        values = {columns[fold(name)]: cell for name, cell in told.items() if fold(name) in columns}
        amount = read_figure(values.get(AMOUNT_OF[self.part.record]), self.mark)
        if amount is not None:
            _refuse_unclear(line, unclear)
            self.items.append(PdfItem(line.row_no, values, told))
            self._last = line
        elif heading and list(values) == [_DESCRIPTION] and len(told) == 1 and self._goes_on(line):
            self._add_description(line)
        else:
            self._skip(line, "no amount" if heading else "outside the lines")

    def _goes_on(self, line: Line) -> bool:
        """Return whether a line stands close below an item, or below more of its description."""
        last = self._last
        return (
            last is not None
            and last.page == line.page
            and last.base - line.base < _NEXT_LINE * line.height
        )

    def _add_description(self, line: Line) -> None:
        item = self.items[-1]
        item.values[_DESCRIPTION] = f"{item.values.get(_DESCRIPTION, '')} {line.text}".strip()
        self._skip(line, f"more of the description in row {item.row_no}")
        self._last = line

    def _match(self, line: Line) -> Told:
        """Return what the first pattern that fits the line says of it; nothing where none does."""
        found = (match_groups(line.text, pattern) for pattern in self.patterns)
        return next((told for told in found if told), {})

    def _add_charge(self, line: Line) -> None:
        kind, label, amount = self.proof.charges[line.row_no]
        if not amount:
            self._skip(line, "nothing charged")
            return
        amount_column = AMOUNT_OF[self.part.record]
        values = {_DESCRIPTION: label, "line_kind": kind, amount_column: f"{amount}"}
        self.items.append(PdfItem(line.row_no, values, {"line": line.text}))
        self._last = None

    def _skip(self, line: Line, why: str) -> None:
        self.skipped.append(SkippedRow(line.row_no, why, line.text))


def is_heading(line: Line, header: Sequence[str]) -> bool:
    """Return whether a line has every heading of `header` as a cell of its own."""
    return bool(header) and {fold(name) for name in header} <= {
        fold(cell.text) for cell in line.cells
    }


def _place(line: Line, heading: Sequence[Cell]) -> tuple[Told, str]:
    """
    Return heading -> text, each cell under the heading that it covers most, else the nearest.

    The second is what could stand under two headings, in words; "" where nothing could.
    """
    told: dict[str, str] = {}
    unclear = ""
    for cell in line.cells:
        ranked = sorted(heading, key=lambda name: _cover(cell, name), reverse=True)
        if len(ranked) > 1 and _could_be_either(cell, *ranked[:2]):
            unclear = f'"{cell.text}" could stand under "{ranked[0].text}" or "{ranked[1].text}"'
        name = ranked[0].text
        told[name] = f"{told[name]} {cell.text}" if name in told else cell.text
    return told, unclear


def _could_be_either(cell: Cell, first: Cell, second: Cell) -> bool:
    most, next_most = _cover(cell, first), _cover(cell, second)
    if most > 0:
        return next_most > _BOTH * (second.right - second.left)
    return next_most > _NEARER * most


def _cover(cell: Cell, name: Cell) -> float:
    """Return how far two cells stand over each other in points, below 0 the gap between them."""
    return min(cell.right, name.right) - max(cell.left, name.left)


def _refuse_unclear(line: Line, unclear: str) -> None:
    if unclear:
        raise Unreadable(
            f"in line {line.row_no} of the PDF {unclear}",
            "tell its lines by patterns in the mapping, or type the invoice in",
        )
