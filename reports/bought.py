"""What was bought for a square metre finished: all that invoices alone can say."""

from typing import Any

import polars as pl

from reports import charts, theme, words
from reports.page import Action, Drawing, Figure, Frames, Section, Table
from reports.rows import RowChart

READS = ("page.bought_rate",)


def make_bought_section(frames: Frames) -> Section:
    """Return what was bought for a square metre finished: all that invoices alone can say."""
    frame = frames["page.bought_rate"]
    question = "How much do we buy for a square metre?"
    if frame.is_empty():
        return Section(
            question,
            "We cannot say yet: six months of invoices and finished jobs with an area are needed. "
            "Return cards would answer it job by job.",
        )
    finding = _find_bought(frame)
    figure = Figure(
        f"{finding} What was bought for a square metre finished, by material.",
        lambda canvas: _draw_bought(frame, canvas),
        _list_bought(frame),
    )
    note = (
        "Dot: bought over the area finished. Bar: what it may truly be, since what lay in the "
        "yard at the start and at the end is not known. Bought is not used: no pounds stand here."
    )
    action = Action(
        "A return card would say more",
        "What went out and what came back, job by job, tells which roofs take more.",
    )
    return Section(question, finding, figure, (note,), action=action)


def _find_bought(frame: pl.DataFrame) -> str:
    row = frame.row(0, named=True)
    label = row["rate_label"]
    text = (
        f"The firm bought {words.rate_with_label(row['rate'], label)} of {row['material']}, "
        f"between {words.rate(row['low_rate'], label)} and {words.rate(row['high_rate'], label)}"
    )
    if row["allowed_rate"] is None:
        return f"{text}."
    return f"{text}; it allows {words.rate(row['allowed_rate'], label)}."


def _draw_bought(frame: pl.DataFrame, canvas: theme.Canvas) -> Drawing:
    shown = frame.select("low_rate", "high_rate", "rate", "allowed_rate")
    values = [value for row in shown.iter_rows() for value in row]
    title = "Bought for a square metre finished, kg or m²"
    axis = charts.round_axis(values, title, lambda value: words.rate(value, ""))
    texts = tuple(
        words.rate_with_label(row["rate"], row["rate_label"]) for row in frame.iter_rows(named=True)
    )
    chart = RowChart(
        canvas, axis, tuple(frame["material"]), (texts,), has_grid=True, labels_above=True
    )
    placed = chart.place(charts.as_floats(frame)).with_columns(label=pl.lit("allowed"))
    allowed = placed.drop_nulls("allowed_rate")
    return chart.finish(
        [
            *chart.intervals(placed, "low_rate", "high_rate"),
            chart.ticks(allowed, "allowed_rate", width=2.4, colour=theme.INK),
            *chart.labels(allowed, "allowed_rate", is_heavy=False),
            chart.dots(placed, "rate"),
        ]
    )


def _between(row: dict[str, Any]) -> str:
    low, high = (words.rate(row[name], row["rate_label"]) for name in ("low_rate", "high_rate"))
    return f"{low} and {high}"


def _list_bought(frame: pl.DataFrame) -> Table:
    rows = [
        (
            row["material"],
            words.quantity(row["bought_quantity"], row["base_unit"]),
            words.quantity(row["area_m2"], "m2"),
            words.counted(row["month_count"], "month"),
            words.rate_with_label(row["rate"], row["rate_label"]),
            _between(row),
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = ("Material", "Bought", "Finished", "Over", "Bought for a m²", "Between")
    return Table("Bought and finished", heads, tuple(rows), frozenset(range(1, 5)))
