"""Colours, type and sizes of every page and chart, once."""

from dataclasses import dataclass
from typing import Any

INK = "#17242B"
SOFT = "#4B5A62"
LINE = "#7C8A91"
HAIR = "#D5DCDF"
BLUE = "#14567F"
RUST = "#B2480F"
PALE_BLUE = "#A7C4D8"
BAND = "#DCE7EC"
WHITE = "#FFFFFF"

FONT = (
    '"Segoe UI Variable Text", "Segoe UI", -apple-system, "Helvetica Neue", "Noto Sans", '
    '"Liberation Sans", Arial, sans-serif'
)
TEXT_SIZE = 13
SMALL_TEXT_SIZE = 12
HEAVY = 600

LETTER_PX = 6.7
"""Width of a letter of chart text, on the safe side; heavy text is a tenth wider."""


@dataclass(frozen=True)
class Canvas:
    """
    What a chart is drawn for: the full page, a narrow screen, or a column of an A4 sheet.

    On paper the style sheet brings it to nine tenths, so that its words are as small as the rest.
    `width` is all that the chart may take, in px, its labels and figure columns included.
    """

    name: str
    width: int
    is_narrow: bool

    @property
    def is_paper(self) -> bool:
        """Whether it is an A4 sheet, on which charts are lower."""
        return self.name == "paper"

    def high(self, px: float) -> float:
        """Return a height for this canvas: a chart on paper is drawn three fifths as high."""
        return px * 0.6 if self.is_paper else px


FULL = Canvas("full", 660, is_narrow=False)
NARROW = Canvas("narrow", 340, is_narrow=True)
PAPER = Canvas("paper", 560, is_narrow=False)
CANVASES = (FULL, NARROW, PAPER)
WIDE_CANVASES = (
    Canvas("full", 930, is_narrow=False),
    NARROW,
    Canvas("paper", 1150, is_narrow=False),
)


def chart_config() -> dict[str, Any]:
    """Return the configuration of every chart: one font, no frame, labels never cut."""
    return {
        "font": FONT,
        "background": WHITE,
        "padding": 2,
        "view": {"stroke": None},
        "text": {"font": FONT, "fontSize": TEXT_SIZE, "color": INK},
        "axis": {
            "labelFont": FONT,
            "titleFont": FONT,
            "labelFontSize": TEXT_SIZE,
            "titleFontSize": TEXT_SIZE,
            "titleFontWeight": "normal",
            "labelColor": SOFT,
            "titleColor": SOFT,
            "labelLimit": 0,
            "titleLimit": 0,
            "domain": False,
            "ticks": False,
            "gridColor": HAIR,
            "labelPadding": 6,
        },
        "axisX": {"titleAnchor": "start", "titleAlign": "left", "titlePadding": 8},
        "title": {
            "font": FONT,
            "fontSize": TEXT_SIZE,
            "fontWeight": HEAVY,
            "color": INK,
            "anchor": "start",
            "frame": "group",
            "limit": 0,
            "offset": 10,
        },
        "concat": {"spacing": 20},
    }
