"""Tables drawn in text, and figures held against a drawing."""

from datetime import date
from decimal import Decimal
from typing import Any

import polars as pl
import pytest


def table(drawing: str) -> pl.DataFrame:
    """
    Read a drawing: a line of names, a line of dashes, then rows; `|` between the cells.

    Every column is text. An empty cell is null.
    """
    lines = [line.strip() for line in drawing.strip().splitlines()]
    names, _, *rows = [line.split("|") for line in lines]
    cells = [[cell.strip() or None for cell in row] for row in rows]
    schema = {name.strip(): pl.String for name in names}
    return pl.DataFrame(cells, schema=schema, orient="row")


def assert_drawn(frame: pl.DataFrame, drawing: str) -> None:
    """
    Hold the columns that a drawing names, and all rows, against a frame, in any order of rows.

    A drawn figure is read in the type of the frame's column. Floats agree to 1e-9 of their size,
    or to the last digit drawn where that is coarser; everything else is equal.
    """
    drawn = table(drawing)
    assert set(drawn.columns) <= set(frame.columns), frame.columns
    wanted = sorted(map(_spoken, drawn.rows()))
    found = sorted(map(_spoken, frame.select(drawn.columns).rows()))
    assert len(found) == len(wanted), frame.select(drawn.columns)
    for row, text in zip(found, wanted, strict=True):
        for value, cell in zip(row.values, text.values, strict=True):
            assert value == _read(cell, value), frame.select(drawn.columns)


class _Row:
    """Cells of a row, sorted by their words and whole parts so that both sides line up."""

    def __init__(self, values: tuple[Any, ...]) -> None:
        self.values = values
        self.key = [_sort_word(value) for value in values]

    def __lt__(self, other: "_Row") -> bool:
        return self.key < other.key


def _spoken(values: tuple[Any, ...]) -> _Row:
    return _Row(values)


def _sort_word(value: Any) -> str:
    if value is None:
        return ""
    text = str(value).lower()
    try:
        return f"{float(text):020.1f}"
    except ValueError:
        return text


def _read(cell: str | None, like: Any) -> Any:
    if cell is None or like is None:
        return cell
    if isinstance(like, bool):
        return cell == "true"
    if isinstance(like, float):
        digits = len(cell.partition(".")[2])
        return pytest.approx(float(cell), rel=1e-9, abs=0.5 * 10**-digits)
    kinds = {int: int, Decimal: Decimal, date: date.fromisoformat}
    return kinds.get(type(like), str)(cell)
