"""Charts of rows: a name, marks along one axis, and figures at the right."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import altair as alt
import polars as pl

from reports import charts, theme
from reports.charts import Axis, Layers

_NAME_LETTERS = 22
_COLUMN_LETTERS = 36
_FOLDED_LETTERS = 30
_NARROW_LETTERS = 48
_LINE_PX = 16
_GAP_PX = 18
_LEAST_PLOT_PX = 160
_ROW_PX = 32
_PAPER_ROW_PX = 26


@dataclass(frozen=True)
class RowChart:
    """
    Rows from the top, the first at place 0.

    `columns` are words at the right, one entry a row, below their `heads` where these are given;
    the first are dropped where the canvas has no room for them. On a narrow canvas the names and
    the last column stand above the marks.
    `labels_above` keeps room for figures above the marks.
    """

    canvas: theme.Canvas
    axis: Axis
    names: tuple[str, ...]
    columns: tuple[tuple[str, ...], ...] = ()
    heads: tuple[str, ...] = ()
    has_grid: bool = False
    labels_above: bool = False

    @cached_property
    def _folded(self) -> tuple[str, ...]:
        letters = 44 if self.canvas.is_narrow else _NAME_LETTERS
        return tuple(charts.folded(name, letters) for name in self.names)

    @cached_property
    def _name_lines(self) -> int:
        return max(name.count("\n") + 1 for name in self._folded)

    @cached_property
    def _name_px(self) -> float:
        if self.canvas.is_narrow:
            return 0
        return max(charts.width_of(name, is_heavy=True) for name in self._folded) + 14

    @cached_property
    def _shown(self) -> tuple[tuple[tuple[str, ...], float], ...]:
        cut = [self._fold_column(each) for each in self.columns]
        heads = self.heads or [""] * len(cut)
        sized = [
            (each, max(charts.width_of(text) for text in (*each, head)))
            for each, head in zip(cut, heads, strict=True)
        ]
        while len(sized) > 1 and self._plot_px(sized) < _LEAST_PLOT_PX:
            sized = sized[1:]
        return tuple(sized)

    def _fold_column(self, texts: tuple[str, ...]) -> tuple[str, ...]:
        if self.canvas.is_narrow:
            return tuple(charts.folded(text, _NARROW_LETTERS, 1) for text in texts)
        is_short = max(map(len, texts)) <= _COLUMN_LETTERS
        letters = _COLUMN_LETTERS if is_short else _FOLDED_LETTERS
        return tuple(charts.folded(text, letters, 2) for text in texts)

    def _plot_px(self, sized: Sequence[tuple[tuple[str, ...], float]]) -> float:
        taken = sum(width + _GAP_PX for _, width in sized)
        return self.canvas.width - self._name_px - taken

    @cached_property
    def plot_px(self) -> float:
        """Width of the part in which marks stand, in px."""
        if self.canvas.is_narrow:
            return self.canvas.width - 2 * _GAP_PX
        return max(self._plot_px(self._shown), _LEAST_PLOT_PX / 2)

    @cached_property
    def _beside_lines(self) -> int:
        """Lines that the words beside a name take: none where they fit on the name's own line."""
        if not self.canvas.is_narrow or not self.columns:
            return 0
        both = [
            charts.width_of(name, is_heavy=True) + charts.width_of(words) + _GAP_PX
            for name, words in zip(self._folded, self._shown[-1][0], strict=True)
        ]
        fits = max(both) <= self.canvas.width and self._name_lines == 1
        return 0 if fits else 1

    @cached_property
    def step_px(self) -> float:
        """Height of a row, in px."""
        if self.canvas.is_narrow:
            room = 42 if self.labels_above else 34
            return (self._name_lines + self._beside_lines) * _LINE_PX + room
        least = _PAPER_ROW_PX if self.canvas.is_paper else _ROW_PX
        lines = [text.count("\n") + 1 for each, _ in self._shown for text in each]
        return max(least, max(self._name_lines, *lines, 1) * _LINE_PX + 8)

    @property
    def _mark_shift(self) -> float:
        return 0.5 - 20 / self.step_px if self.canvas.is_narrow else 0

    def x(self, field: str) -> alt.X:
        """Return the place of a mark along the axis."""
        return charts.x_at(field, self.axis, has_grid=self.has_grid)

    def y(self, field: str = "mark_row") -> alt.Y:
        """Return the row of a mark."""
        return charts.row_axis(len(self.names), field)

    def place(self, frame: pl.DataFrame) -> pl.DataFrame:
        """Return the frame, one row a row of the chart, with the rows' places and bars' edges."""
        half = 7 / self.step_px
        shifted = frame.with_row_index("row").with_columns(
            mark_row=pl.col("row").cast(pl.Float64) + self._mark_shift
        )
        return shifted.with_columns(
            bar_from=pl.col("mark_row") - half, bar_to=pl.col("mark_row") + half
        )

    def dots(
        self, frame: pl.DataFrame, field: str, *, size: int = 90, colour: str = theme.BLUE,
        is_open: bool = False, shape: str = "circle",
    ) -> alt.Chart:  # fmt: skip
        """Return a dot a row at `field`."""
        return charts.dots(
            frame, self.x(field), self.y(), size=size, colour=colour, is_open=is_open, shape=shape
        )

    def spans(
        self, frame: pl.DataFrame, start: str, end: str, *, width: float = 1,
        colour: str = theme.LINE, dash: Sequence[int] = (),
    ) -> alt.Chart:  # fmt: skip
        """Return a line a row from `start` to `end`."""
        return charts.rules(
            frame, width=width, colour=colour, dash=dash,
            x=self.x(start), x2=alt.X2(end), y=self.y(),
        )  # fmt: skip

    def intervals(self, frame: pl.DataFrame, low: str, high: str) -> Layers:
        """Return pale bars from `low` to `high` with an upright tick at each end."""
        known = frame.filter(pl.col(low).is_not_null() & pl.col(high).is_not_null())
        bar = self.spans(known, low, high, width=5, colour=theme.PALE_BLUE)
        return [bar, self.ticks(known, low), self.ticks(known, high)]

    def ticks(
        self, frame: pl.DataFrame, field: str, *, width: float = 1.4, colour: str = theme.BLUE
    ) -> alt.Chart:
        """Return an upright tick a row at `field`."""
        return charts.rules(
            frame, width=width, colour=colour,
            x=self.x(field), y=self.y("bar_from"), y2=alt.Y2("bar_to"),
        )  # fmt: skip

    def bars(
        self, frame: pl.DataFrame, start: str, end: str, *, colour: str = theme.BLUE,
        is_open: bool = False,
    ) -> alt.Chart:  # fmt: skip
        """Return a bar a row from `start` to `end`: filled, or open."""
        return charts.boxes(
            frame, colour=colour, is_open=is_open,
            x=self.x(start), x2=alt.X2(end), y=self.y("bar_from"), y2=alt.Y2("bar_to"),
        )  # fmt: skip

    def labels(
        self, frame: pl.DataFrame, field: str, *, text: str = "label", align: str = "center",
        dx: float = 0, dy: float = -13, colour: str = theme.INK, is_heavy: bool = True,
    ) -> Layers:  # fmt: skip
        """Return words a row at `field`, by default above the mark."""
        return charts.words_at(
            frame, self.x(field), self.y(), text=text, align=align, dx=dx, dy=dy, colour=colour,
            is_heavy=is_heavy, size=theme.SMALL_TEXT_SIZE,
        )  # fmt: skip

    def line_at(
        self, value: float, label: str, *, dash: Sequence[int] = (4, 3), colour: str = theme.INK
    ) -> Layers:
        """Return an upright line through all rows, its words above it."""
        count = len(self.names)
        return charts.line_through_rows(
            value,
            label,
            self.axis,
            count,
            self.plot_px,
            dash=dash,
            colour=colour,
            has_grid=self.has_grid,
        )

    def finish(self, layers: Layers) -> alt.LayerChart:
        """Return the chart of the layers, with names and columns."""
        height = self.step_px * (len(self.names) - 0.5 - charts.HEAD_ROW)
        whole = [*layers, *self._draw_names(), *self._draw_columns()]
        return charts.layered(whole, self.plot_px, height)

    def _texts(self, texts: Sequence[str], line: float) -> pl.DataFrame:
        shift = line * _LINE_PX / self.step_px - 0.5 if self.canvas.is_narrow else 0.0
        places = [row + shift for row in range(len(texts))]
        return pl.DataFrame({"label": list(texts), "row": places})

    def _draw_names(self) -> Layers:
        if self.canvas.is_narrow:
            frame = self._texts(self._folded, 0.6)
            return charts.words_at(frame, charts.x_at_px(0), self.y("row"), is_heavy=True)
        return charts.words_at(
            self._centred(self._folded), charts.x_at_px(-14), self.y("row"), align="right",
            is_heavy=True,
        )  # fmt: skip

    def _centred(self, texts: Sequence[str]) -> pl.DataFrame:
        lines = [text.count("\n") * _LINE_PX / 2 / self.step_px for text in texts]
        places = [row - up for row, up in enumerate(lines)]
        return pl.DataFrame({"label": list(texts), "row": places})

    def _draw_columns(self) -> Layers:
        if not self.columns:
            return []
        if self.canvas.is_narrow:
            line = 0.6 + (self._name_lines if self._beside_lines else 0)
            frame = self._texts(self._shown[-1][0], line)
            at, align = (0, "left") if self._beside_lines else (self.canvas.width - 4, "right")
            return charts.words_at(frame, charts.x_at_px(at), self.y("row"), align=align)
        drawn: Layers = []
        edge = self.plot_px
        heads = self.heads[-len(self._shown) :] or ("",) * len(self._shown)
        for (texts, width), head in zip(self._shown, heads, strict=True):
            edge += width + _GAP_PX
            x, y = charts.x_at_px(edge), self.y("row")
            drawn += charts.words_at(self._centred(texts), x, y, align="right")
            drawn += self._draw_head(head, x, y) if head else []
        return drawn

    def _draw_head(self, head: str, x: alt.XValue, y: alt.Y) -> Layers:
        frame = pl.DataFrame({"label": [head], "row": [charts.HEAD_ROW]})
        return charts.words_at(
            frame, x, y, align="right", dy=-9, colour=theme.SOFT, size=theme.SMALL_TEXT_SIZE
        )
