"""Shared pieces of charts: axes, dots, bars, lines, and words that stay readable on them."""

import json
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Any

import altair as alt
import polars as pl

from reports import theme

Layers = list[alt.Chart]
Place = alt.X | alt.X2 | alt.Y | alt.Y2

_ROUND_STEPS = (1.0, 2.0, 5.0, 10.0)
_HALO_PX = 4
HEAD_ROW = -0.75
"""Top of a chart of rows; the first row is at 0."""
_NEAR = 0.85
"""How far below the wanted step a round one may lie."""


def as_floats(frame: pl.DataFrame) -> pl.DataFrame:
    """Return the frame with its exact decimals as floats: the only place where they turn."""
    return frame.with_columns(pl.selectors.decimal().cast(pl.Float64))


@dataclass(frozen=True)
class Axis:
    """An axis: its ends, the values that are named, their words, and its title."""

    low: float
    high: float
    values: tuple[float, ...]
    words: tuple[str, ...]
    title: str = ""

    @property
    def scale(self) -> alt.Scale:
        """Return the scale, the same for every layer of a chart."""
        return alt.Scale(domain=[self.low, self.high], nice=False, zero=False)

    def drawn(self, *, has_grid: bool = False, least_px: float = 0, angle: float = 0) -> alt.Axis:
        """Return the axis as it is drawn; `least_px` keeps panels with other labels in line."""
        words = f"{json.dumps(self.words)}[indexof({json.dumps(self.values)}, datum.value)]"
        return alt.Axis(
            values=list(self.values),
            labelExpr=words,
            title=self.title or None,
            grid=has_grid,
            minExtent=least_px,
            titleAngle=angle,
        )


def round_axis(
    values: Iterable[float | None],
    title: str,
    write: Callable[[float], str],
    *,
    from_zero: bool = False,
    parts: int = 4,
) -> Axis:
    """Return an axis with round values that holds all `values`, in about `parts` steps."""
    known = [value for value in values if value is not None] + ([0.0] if from_zero else [])
    low, high = min(known), max(known)
    if low == high:
        low, high = low - abs(low) * 0.1 - 0.1, high + abs(high) * 0.1 + 0.1
    step = _round_step((high - low) / parts)
    first, last = math.floor(low / step + 1e-9), math.ceil(high / step - 1e-9)
    named = tuple(round(number * step, 10) for number in range(first, last + 1))
    shown = named[::2] if len(named) > parts + 2 else named
    return Axis(named[0], named[-1], shown, tuple(write(value) for value in shown), title)


def _round_step(rough: float) -> float:
    size = 10.0 ** math.floor(math.log10(rough))
    return next(size * step for step in _ROUND_STEPS if size * step >= rough * _NEAR)


def x_at(field: str, axis: Axis, *, has_grid: bool = False) -> alt.X:
    """Return the place along the horizontal axis."""
    return alt.X(f"{field}:Q", scale=axis.scale, axis=axis.drawn(has_grid=has_grid))


def x_at_px(px: float) -> alt.XValue:
    """Return a place at a distance from the plot's left edge, for words beside the plot."""
    return alt.XValue(px)  # type: ignore[no-untyped-call]


def layered(
    layers: Sequence[alt.Chart], width: float, height: float, title: alt.TitleParams | None = None
) -> alt.LayerChart:
    """Return the layers on one another, the first lowest. Flat: nested layers are slow to copy."""
    if title is None:
        return alt.LayerChart(layer=list(layers), width=width, height=height)
    return alt.LayerChart(layer=list(layers), width=width, height=height, title=title)


def dots(
    frame: pl.DataFrame,
    x: alt.X,
    y: alt.Y,
    *,
    size: int = 90,
    colour: str = theme.BLUE,
    is_open: bool = False,
    shape: str = "circle",
) -> alt.Chart:
    """Return a dot a row of the frame: filled, or open."""
    drawn: alt.Chart = (
        alt.Chart(frame)
        .mark_point(
            shape=shape,
            size=size,
            opacity=1,
            fill=theme.WHITE if is_open else colour,
            stroke=colour,
            strokeWidth=1.4,
        )
        .encode(x=x, y=y)
    )
    return drawn


def rules(
    frame: pl.DataFrame,
    *,
    width: float = 1,
    colour: str = theme.INK,
    dash: Sequence[int] = (),
    **places: Place,
) -> alt.Chart:
    """Return a straight line a row of the frame, from x, y to x2, y2."""
    mark = alt.Chart(frame).mark_rule(
        strokeWidth=width, color=colour, strokeDash=list(dash), opacity=1
    )
    drawn: alt.Chart = mark.encode(**places)
    return drawn


def boxes(
    frame: pl.DataFrame, *, colour: str = theme.BLUE, is_open: bool = False, **places: Place
) -> alt.Chart:
    """Return a bar a row of the frame, from x, y to x2, y2: filled, or open."""
    mark = alt.Chart(frame).mark_rect(
        fill=theme.WHITE if is_open else colour, stroke=colour, strokeWidth=1.2, opacity=1
    )
    drawn: alt.Chart = mark.encode(**places)
    return drawn


def words_at(
    frame: pl.DataFrame,
    x: alt.X | alt.XValue,
    y: alt.Y | alt.YValue,
    *,
    text: str = "label",
    align: str = "left",
    dx: float = 0,
    dy: float = 0,
    colour: str = theme.INK,
    is_heavy: bool = False,
    size: int = theme.TEXT_SIZE,
) -> Layers:
    """Return words a row of the frame, drawn twice: a white edge first, so that lines don't cut."""
    look: dict[str, Any] = {
        "align": align,
        "baseline": "middle",
        "dx": dx,
        "dy": dy,
        "fontSize": size,
        "fontWeight": theme.HEAVY if is_heavy else "normal",
        "lineBreak": "\n",
        "lineHeight": size + 3,
    }
    base = alt.Chart(frame).encode(x=x, y=y, text=alt.Text(f"{text}:N"))
    edge = base.mark_text(
        **look, stroke=theme.WHITE, strokeWidth=_HALO_PX, strokeJoin="round", color=theme.WHITE
    )
    return [edge, base.mark_text(**look, color=colour)]


def row_axis(count: int, field: str) -> alt.Y:
    """Return the place of a row: 0 is the first, with room above it for the words of a line."""
    ends = [HEAD_ROW, count - 0.5]
    scale = alt.Scale(domain=ends, reverse=True, nice=False, zero=False)
    return alt.Y(f"{field}:Q", scale=scale, axis=None)


def line_through_rows(
    value: float, label: str, axis: Axis, count: int, plot_px: float, *,
    dash: Sequence[int] = (4, 3), colour: str = theme.INK, has_grid: bool = False,
) -> Layers:  # fmt: skip
    """Return an upright line through all rows at `value`, its words above it."""
    frame = pl.DataFrame(
        {"value": [value], "top": [HEAD_ROW], "foot": [count - 0.5], "label": [label]}
    )
    x, top = x_at("value", axis, has_grid=has_grid), row_axis(count, "top")
    line = rules(frame, dash=dash, colour=colour, x=x, y=top, y2=alt.Y2("foot"))
    if not label:
        return [line]
    half = width_of(label, is_heavy=True) / 2
    at = (value - axis.low) / (axis.high - axis.low) * plot_px
    align = "left" if at < half else "right" if at > plot_px - half else "center"
    head = words_at(
        frame, x, top, align=align, dy=-9, colour=colour, is_heavy=True,
        size=theme.SMALL_TEXT_SIZE,
    )  # fmt: skip
    return [line, *head]


def width_of(text: str, *, is_heavy: bool = False) -> float:
    """Return about how wide words are on a chart, in px, on the safe side."""
    longest = max((len(line) for line in text.split("\n")), default=0)
    return longest * theme.LETTER_PX * (1.1 if is_heavy else 1)


def folded(text: str, letters: int, lines: int = 5) -> str:
    """Return a name on at most `lines` lines of about `letters`; what is left ends in "..."."""
    rows: list[str] = [""]
    for word in _short_words(text, letters):
        fits = len(rows[-1]) + len(word) + 1 <= letters or not rows[-1]
        rows = [*rows[:-1], f"{rows[-1]} {word}".strip()] if fits else [*rows, word]
    kept = rows[:lines]
    if len(rows) > lines:
        kept[-1] = kept[-1][: letters - 3] + "..."
    return "\n".join(kept)


def _short_words(text: str, letters: int) -> list[str]:
    return [
        word[start : start + letters]
        for word in text.split()
        for start in range(0, len(word), letters)
    ]
