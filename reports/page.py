"""What a page is made of: sections of question, finding and action, with figures and tables."""

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

import altair as alt
import polars as pl
from altair.utils.schemapi import debug_mode

from reports import theme

Frames = Mapping[str, pl.DataFrame]
"""Frames by relation name, such as `page.firm`."""

Drawing = alt.LayerChart | alt.ConcatChart | alt.VConcatChart


@dataclass(frozen=True)
class Table:
    """
    A table of text: `heads` over `rows`.

    `figures` names the columns (from 0) that hold figures; the first column heads its row.
    `is_counts` keeps a table of counts a table on a phone, where others become lists.
    """

    caption: str
    heads: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    figures: frozenset[int] = frozenset()
    is_counts: bool = False
    links: Mapping[str, str] = field(default_factory=dict)


@dataclass(frozen=True)
class Figure:
    """A chart: what it says in one sentence, how it is drawn for a canvas, the same as a table."""

    says: str
    draw: Callable[[theme.Canvas], Drawing]
    twin: Table

    def specs(self, canvases: Sequence[theme.Canvas]) -> dict[str, Any]:
        """Return the chart's specification by canvas name."""
        return {canvas.name: self._spec(canvas) for canvas in canvases}

    def _spec(self, canvas: theme.Canvas) -> dict[str, Any]:
        with debug_mode(False):  # noqa: FBT003 - a switch of the library: no check at every mark
            spec: dict[str, Any] = self.draw(canvas).to_dict(validate=False)
        spec.pop("config", None)
        return {**spec, "description": self.says}


@dataclass(frozen=True)
class Action:
    """What to do, beside the evidence: a heading, a sentence or two, and a link."""

    heading: str
    says: str
    link: tuple[str, str] | None = None


@dataclass(frozen=True)
class Section:
    """
    A question that is always put in the same words, what was found, and what to do.

    `folded` tables stand shut under their caption: no one has to read them. What is not printed
    is for the screen alone, where a paper would run on to one more sheet.
    """

    question: str
    finding: str
    figure: Figure | None = None
    notes: tuple[str, ...] = ()
    tables: tuple[Table, ...] = ()
    action: Action | None = None
    is_wide: bool = False
    folded: tuple[Table, ...] = ()
    is_printed: bool = True

    @property
    def canvases(self) -> tuple[theme.Canvas, ...]:
        """Return what its chart is drawn for."""
        return theme.WIDE_CANVASES if self.is_wide else theme.CANVASES


@dataclass(frozen=True)
class Ask:
    """One thing that a page asks of its reader, and where it is shown."""

    says: str
    link: tuple[str, str]


@dataclass(frozen=True)
class Page:
    """A whole page; `trust` holds (whether it is well, sentence) for the foot."""

    name: str
    firm: str
    beside: tuple[str, ...]
    heading: str
    opening: str
    asks: tuple[Ask, ...]
    sections: tuple[Section, ...]
    trust: tuple[tuple[bool, str], ...]

    @property
    def file_name(self) -> str:
        """Return the name of the page's file."""
        return f"{self.name}.html"


NAMES = ("start", "owner", "estimator", "buyer")
"""Pages in the order of the menu."""
