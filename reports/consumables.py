"""What goes of small materials for a square metre, over the firm: no job alone can tell it."""

from typing import Any

from reports import words
from reports.page import Frames, Section, Table

READS = ("page.firm_wide_rate",)

_QUESTION = "How much of the small things goes into a roof?"
_HOW_TOLD = (
    "Over all jobs and months together: a can or bottle opened on one job serves the next, so no "
    "single job says anything. Between: two standard errors either way. What goes is no dose: "
    "catalyst is measured out by the product data sheet."
)
_AREA_M2 = 100
_SOURCES = {"booked to jobs": "job cards", "bought": "purchases alone"}


def make_section(frames: Frames) -> Section:
    """Return the small table of what goes for a hundred square metres, each with its error."""
    frame = frames["page.firm_wide_rate"]
    if frame.is_empty():
        return Section(
            _QUESTION,
            "We cannot say yet: six months in which a consumable is booked, bought or counted "
            "are needed.",
        )
    rows = [_row(row) for row in frame.iter_rows(named=True)]
    heads = ("Material", "For 100 m²", "Between", "You allow", "From", "Jobs")
    table = Table("What goes for 100 m² of roof", heads, tuple(rows), frozenset({1, 3, 5}))
    return Section(
        _QUESTION, _find(frame.row(0, named=True)), None, (_HOW_TOLD,), (table,), is_printed=False
    )


def _find(row: dict[str, Any]) -> str:
    return (
        f"For 100 m² of roof {_show(row, 'rate')} of {row['material']} goes, between "
        f"{_show(row, 'low_rate')} and {_show(row, 'high_rate')}."
    )


def _row(row: dict[str, Any]) -> tuple[str, ...]:
    return (
        row["material"],
        _show(row, "rate"),
        f"{_show(row, 'low_rate')} to {_show(row, 'high_rate')}",
        "" if row["allowed_rate"] is None else _show(row, "allowed_rate"),
        _SOURCES.get(row["source_label"], "counts, shared out"),
        str(row["job_count"]),
    )


def _show(row: dict[str, Any], name: str) -> str:
    return words.quantity(row[name] * _AREA_M2, row["base_unit"])
