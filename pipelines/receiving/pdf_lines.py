"""The lines of a PDF: words on one base line, joined to cells where no gap parts them."""

import re
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from pipelines.receiving.handed_over import RawRow, RawSheet
from pipelines.receiving.pdf_text import Word

_SAME_LINE = 0.5
"""Base lines that lie nearer than this share of a letter's height are one."""
_LETTER_GAP = 0.1
_CELL_GAP = 0.7
_SAME_PLACE = 0.6
"""Points within which the same text, written twice to look bold, stands in one place."""


class Cell(NamedTuple):
    """A cell: its ends in points from the left, and its text."""

    left: float
    right: float
    text: str


@dataclass(frozen=True)
class Line:
    """
    A line of text: its number from 1 through all pages, its page, its cells from the left.

    `base` is its base line in points from below, `height` that of its letters.
    """

    row_no: int
    page: int
    base: float
    height: float
    cells: tuple[Cell, ...]

    @property
    def text(self) -> str:
        """Return the whole line, one space between its cells."""
        return " ".join(cell.text for cell in self.cells)


def lay_lines(words: Sequence[Word]) -> tuple[Line, ...]:
    """Return the lines of a PDF from top to bottom, page by page."""
    rows = _part_lines(words)
    return tuple(
        Line(no, row[0].page, row[0].base, max(word.height for word in row), tuple(_join(row)))
        for no, row in enumerate(rows, 1)
    )


def as_sheet(lines: Sequence[Line]) -> RawSheet:
    """Return the lines as rows of cells, without their places."""
    return RawSheet(
        "", [RawRow(line.row_no, tuple(cell.text for cell in line.cells)) for line in lines]
    )


def _part_lines(words: Iterable[Word]) -> Iterator[list[Word]]:
    row: list[Word] = []
    for word in sorted(words, key=lambda one: (one.page, -one.base, one.left)):
        first = row[0] if row else word
        if word.page != first.page or first.base - word.base > _SAME_LINE * first.height:
            yield row
            row = []
        row.append(word)
    if row:
        yield row


def _join(row: Sequence[Word]) -> Iterator[Cell]:
    """Yield the cells of a line: pieces that touch are one word, those a space apart one cell."""
    pieces = sorted(piece for word in _drop_doubles(row) for piece in _part(word))
    height = max(word.height for word in row)
    cell = pieces[0]
    for piece in pieces[1:]:
        gap = piece.left - cell.right
        if gap > _CELL_GAP * height:
            yield cell
            cell = piece
            continue
        space = " " if gap > _LETTER_GAP * height else ""
        cell = Cell(cell.left, max(cell.right, piece.right), f"{cell.text}{space}{piece.text}")
    yield cell


def _drop_doubles(row: Sequence[Word]) -> Iterator[Word]:
    kept: list[Word] = []
    for word in row:
        is_double = any(
            word.text == one.text and abs(word.left - one.left) < _SAME_PLACE for one in kept
        )
        if not is_double:
            kept.append(word)
            yield word


def _part(word: Word) -> Iterator[Cell]:
    """Yield a word's parts between two spaces or more; blanks at its ends take no place."""
    per_letter = (word.right - word.left) / len(word.text)
    for found in re.finditer(r"\S+(?:\s\S+)*", word.text):
        left, right = (word.left + per_letter * at for at in found.span())
        yield Cell(left, right, " ".join(found[0].split()))
