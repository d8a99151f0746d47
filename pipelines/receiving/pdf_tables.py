"""The lines of a PDF under its heading: which cell stands under which name."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from fnmatch import fnmatchcase

from pipelines.receiving.handed_over import SkippedRow, Unreadable, fold
from pipelines.receiving.mappings import Part, Skip, Texts
from pipelines.receiving.pdf_lines import Cell, Line
from pipelines.receiving.pdf_proof import Proof, read_figure
from pipelines.receiving.pdf_rules import AMOUNT_OF, PdfRules
from pipelines.receiving.splitting import match_groups
from pipelines.receiving.written_figures import Mark

_DESCRIPTION = "description"
_STATEMENTS, _CREDIT = "statements", "credit"
_BOTH = 0.5
"""A cell that covers this share of two headings could stand under either."""

_NEXT_LINE = 2.2
"""A line goes on with the one above it where it stands within this many heights below."""
_NEARER = 2
"""A cell under no heading belongs to the nearest where any other is this many times as far."""

Told = Mapping[str, str]


@dataclass
class PdfItem:
    """
    A line of the document: our columns, and its cells by the names that the PDF gives them.

    `amount` is what it adds to the document's total, below 0 where it lowers it.
    """

    row_no: int
    values: dict[str, str]
    told: Told
    amount: Decimal

    @property
    def row_text(self) -> str:
        """Return the cells as JSON."""
        return json.dumps(dict(self.told), ensure_ascii=False)


@dataclass
class PdfTable:
    """
    Sorts the lines of a PDF: items, and those that hold none with the reason.

    `header` names the headings that tell the table; where there is none, the rules' patterns of
    whole lines tell the items. `proof` names the lines of totals and charges, which end a table.
    `passed` are the amounts of lines that the mapping passes over, as payments: they are part of
    the document's total. `types` are its words for our document types.
    """

    header: Sequence[str]
    rules: PdfRules
    part: Part
    mark: Mark | None
    proof: Proof
    skips: Sequence[Skip] = ()
    types: Texts = field(default_factory=dict)
    items: list[PdfItem] = field(default_factory=list)
    skipped: list[SkippedRow] = field(default_factory=list)
    passed: list[Decimal] = field(default_factory=list)
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
            elif line.row_no in self.proof.forward:
                self._skip(line, "brought forward")
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
        known = {name: columns[fold(name)] for name in told if fold(name) in columns}
        taken = self._choose(line, known, told)
        values = {column: told[name] for column, name in taken.items()}
        amount = read_figure(values.get(AMOUNT_OF[self.part.record]), self.mark)
        if amount is not None:
            _refuse_unclear(line, unclear)
            self._add(line, values, told, amount, fold(taken[AMOUNT_OF[self.part.record]]))
        elif heading and list(values) == [_DESCRIPTION] and len(told) == 1 and self._goes_on(line):
            self._add_description(line)
        else:
            self._skip(line, "no amount" if heading else "outside the lines")

    def _choose(self, line: Line, columns: Texts, told: Told) -> dict[str, str]:
        """
        Return our column -> the heading that tells it, of those that could.

        Where a debit and a credit column stand side by side, the one with nought says nothing.
        Raises Unreadable where two say something.
        """
        chosen: dict[str, str] = {}
        for name, column in columns.items():
            if column not in chosen or self._says_nothing(told[chosen[column]]):
                chosen[column] = name
            elif not self._says_nothing(told[name]):
                raise Unreadable(
                    f'line {line.row_no} of the PDF has "{told[chosen[column]]}" and '
                    f'"{told[name]}" for {column}',
                    "name one heading for it in the mapping, or type the paper in",
                )
        return chosen

    def _says_nothing(self, cell: str) -> bool:
        return not any(letter.isalnum() for letter in cell) or read_figure(cell, self.mark) == 0

    def _add(
        self, line: Line, values: dict[str, str], told: Told, amount: Decimal, under: str
    ) -> None:
        """Add an item, or pass over a line that is no document of a statement."""
        lowers = under in self.rules.credits_under
        if lowers:
            values["document_type"] = _CREDIT
        word = fold(values.get("document_type", ""))
        is_credit = lowers or self.types.get(word, word) == _CREDIT
        if self.part.record == _STATEMENTS and is_credit:
            amount = -abs(amount)
        why = next((skip.why for skip in self.skips if _fits(told, skip.where)), None)
        if why is None:
            self.items.append(PdfItem(line.row_no, values, told, amount))
            self._last = line
        else:
            self.passed.append(amount)
            self._skip(line, why)

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
        found = (match_groups(line.text, pattern) for pattern in self.rules.lines)
        return next((told for told in found if told), {})

    def _add_charge(self, line: Line) -> None:
        kind, label, amount = self.proof.charges[line.row_no]
        if not amount:
            self._skip(line, "nothing charged")
            return
        amount_column = AMOUNT_OF[self.part.record]
        values = {_DESCRIPTION: label, "line_kind": kind, amount_column: f"{amount}"}
        self.items.append(PdfItem(line.row_no, values, {"line": line.text}, amount))
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


def _fits(told: Told, where: Texts) -> bool:
    """Return whether the cells under each heading of `where` fit its pattern."""
    cells = {fold(name): fold(text) for name, text in told.items()}
    return all(fnmatchcase(cells.get(name, ""), like) for name, like in where.items())


def _cover(cell: Cell, name: Cell) -> float:
    """Return how far two cells stand over each other in points, below 0 the gap between them."""
    return min(cell.right, name.right) - max(cell.left, name.left)


def _refuse_unclear(line: Line, unclear: str) -> None:
    if unclear:
        raise Unreadable(
            f"in line {line.row_no} of the PDF {unclear}",
            "tell its lines by patterns in the mapping, or type the invoice in",
        )
