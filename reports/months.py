"""Small charts over months: a line of dots, the usual range, and what is allowed."""

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from datetime import date

import altair as alt
import polars as pl

from reports import charts, theme, words
from reports.charts import Axis, Layers

_LAST_PX = 48
_HEIGHT_PX = 96
_GAP_PX = 24

MOST_ON_PAPER = 4


@dataclass(frozen=True)
class Panel:
    """
    One small chart.

    `frame`: one row a month, `month_on`, `value`, and `is_outside` where one is outside the usual.
    `allowed`, `low` and `high` are levels in the unit of `value`; null where not known. The axis
    spans `least_span` at least, so that a small movement does not look like a large one.
    """

    title: str
    frame: pl.DataFrame
    write: Callable[[float], str]
    allowed: float | None = None
    low: float | None = None
    high: float | None = None
    least_span: float = 0
    allowed_word: str = "allowed"

    @property
    def levels(self) -> list[float]:
        """Return the levels that are known."""
        return [level for level in (self.allowed, self.low, self.high) if level is not None]


def month_axis(months: Sequence[date], parts: int = 4) -> Axis:
    """Return an axis of evenly spaced months that names about `parts` of them, the last one too."""
    first, last = words.month_number(min(months)), words.month_number(max(months))
    step = max(1, -(-(last - first) // parts))
    numbers = list(range(last, first - 1, -step))[::-1]
    named = [words.short_month(date(number // 12, number % 12 + 1, 1)) for number in numbers]
    places = tuple(float(number) for number in numbers)
    return Axis(first - 0.4, max(last, first + 1) + 0.4, places, tuple(named))


def month_charts(
    panels: Sequence[Panel], canvas: theme.Canvas, *, height: float | None = None
) -> alt.ConcatChart:
    """Return the panels two in a row, on paper the first four; one under another if narrow."""
    across = 1 if canvas.is_narrow else min(len(panels), 2)
    panels = panels[:MOST_ON_PAPER] if canvas.is_paper else panels
    labels = [word for panel in panels for word in _value_words(panel)]
    label_px = max(charts.width_of(word) for word in labels) + 8
    room = (canvas.width - (across - 1) * _GAP_PX) / across - label_px - _LAST_PX
    months = [month for panel in panels for month in panel.frame["month_on"].to_list()]
    axis = month_axis(months, 4 if canvas.is_narrow or across == 1 else 3)
    high = height or canvas.high(_HEIGHT_PX)
    drawn = [_draw(panel, axis, (room, high), label_px) for panel in panels]
    return alt.concat(*drawn, columns=across, spacing={"row": 26, "column": _GAP_PX})


def _draw(panel: Panel, months: Axis, size: tuple[float, float], label_px: float) -> alt.LayerChart:
    known = panel.frame.drop_nulls("value").sort("month_on")
    frame = known.with_columns(month_no=pl.Series(map(words.month_number, known["month_on"])))
    x = charts.x_at("month_no", months)
    y = _value_axis(panel, label_px)
    layers = [*_band(panel, y), *_allowed(panel, y), *_line(frame, panel, x, y)]
    letters = int((size[0] + label_px + _LAST_PX) / theme.LETTER_PX / 1.1)
    title = charts.folded(panel.title, letters).split("\n")
    return charts.layered(layers, *size, alt.TitleParams(title))


def _ends(panel: Panel) -> tuple[float, float]:
    known = [value for value in panel.frame["value"] if value is not None] + panel.levels
    low, high = min(known), max(known)
    room = max((high - low) * 0.2, (panel.least_span - high + low) / 2)
    room = room or abs(high) * 0.1 or 0.1
    return low - room, high + room


def _named_values(panel: Panel) -> tuple[float, ...]:
    low, high = _ends(panel)
    known = panel.frame["value"].drop_nulls()
    if panel.least_span:
        return _apart([*_round_ends(low, high), *panel.levels], (high - low) * 0.15, panel.allowed)
    levels = set(panel.levels) if panel.low is not None or panel.high is not None else set()
    shown = sorted(levels) or sorted({min(known), max(known), *panel.levels})
    return _apart(shown, (high - low) * 0.15, panel.allowed)


def _round_ends(low: float, high: float) -> tuple[float, float]:
    return math.ceil(low / 5) * 5.0, math.floor(high / 5) * 5.0


def _value_words(panel: Panel) -> tuple[str, ...]:
    return tuple(
        f"{panel.allowed_word} {panel.write(value)}"
        if value == panel.allowed
        else panel.write(value)
        for value in _named_values(panel)
    )


def _value_axis(panel: Panel, label_px: float) -> alt.Y:
    axis = Axis(*_ends(panel), _named_values(panel), _value_words(panel))
    return alt.Y("value:Q", scale=axis.scale, axis=axis.drawn(least_px=label_px))


def _apart(values: Sequence[float], least: float, first: float | None) -> tuple[float, ...]:
    """Keep values whose labels don't touch; the one that matters most is kept before others."""
    kept: list[float] = []
    for value in sorted(values, key=lambda each: each != first):
        if all(abs(value - other) >= least for other in kept):
            kept.append(value)
    return tuple(sorted(kept))


def _band(panel: Panel, y: alt.Y) -> Layers:
    if panel.low is None or panel.high is None:
        return []
    frame = pl.DataFrame({"value": [panel.low], "high": [panel.high], "label": ["usual range"]})
    edges = pl.DataFrame({"value": [panel.low, panel.high]})
    return [
        alt.Chart(frame).mark_rect(color=theme.BAND, opacity=1).encode(y=y, y2=alt.Y2("high")),
        charts.rules(edges, colour=theme.LINE, y=y),
        *charts.words_at(
            frame, charts.x_at_px(4), y, dy=9, colour=theme.SOFT, size=theme.SMALL_TEXT_SIZE
        ),
    ]


def _allowed(panel: Panel, y: alt.Y) -> Layers:
    if panel.allowed is None:
        return []
    return [charts.rules(pl.DataFrame({"value": [panel.allowed]}), dash=(4, 3), y=y)]


def _line(frame: pl.DataFrame, panel: Panel, x: alt.X, y: alt.Y) -> Layers:
    line = alt.Chart(frame).mark_line(color=theme.BLUE, strokeWidth=1.6).encode(x=x, y=y)
    outside = frame.filter(pl.col("is_outside"))
    last = frame.tail(1).with_columns(
        label=pl.col("value").map_elements(panel.write, return_dtype=pl.String)
    )
    layers: Layers = [line, charts.dots(frame.filter(~pl.col("is_outside")), x, y, size=22)]
    if outside.height:
        layers.append(charts.dots(outside, x, y, size=80, colour=theme.RUST, shape="diamond"))
    return layers + charts.words_at(last, x, y, dx=9, is_heavy=True, size=theme.SMALL_TEXT_SIZE)
