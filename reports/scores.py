"""Whether the suggestions would have come nearer on past jobs than plainer ways of allowing."""

from typing import Any

import polars as pl

from reports import charts, loads, theme, words
from reports.page import Drawing, Figure, Frames, Section, Table
from reports.rows import RowChart

READS = ("page.score", "page.score_way", *loads.READS)

_QUESTION = "Would the suggestions have been better on past jobs?"
_CANNOT_SAY = (
    "We cannot say yet: no month of the last twelve had eight earlier jobs with their use and a "
    "price. More finished jobs will answer this."
)
_SAME_GBP = 25
"""Up to this much two ways come out alike: the pounds below which the pages say nothing."""
_PLAIN_WAYS = {
    "tenth": "a tenth on top of the need",
    "ratio": "one figure for all job types",
}
"""What the suggestions have to beat: the finding names the one that came nearest."""
_WAYS = {
    "as suggested": "as suggested",
    "as allowed": "as you allowed then",
    "a tenth on top": "a tenth on top of the need",
    "one ratio": "one figure for all job types",
    "mean of the type": "the mean of the job type",
    "share of the type": "the mean charged, the job type's own share loaded",
}
_HOW_LOAD_COUNTS = (
    "Miss of the load, in 100 of the need: what was short counts as often as you want it covered, "
    "what was left over counts the rest. Less is nearer."
)
_MOST_ROWS = 8
_AXIS_TITLE = "Charged too much or too little in twelve months, in pounds"
_HEADS = ("suggested, a tenth",)
_HOW_TO_READ = (
    "Filled dot: charged as suggested. Open dot: a tenth on top of the need. Square: one figure "
    "for all job types, from your own jobs. Nearer to nothing is better."
)
_HOW_MADE = (
    "Each month was tried with what the jobs finished before it say, and nothing later. Too much "
    "and too little both count, at the price of the day."
)


def make_section(frames: Frames) -> Section:
    """Return the section that tries the suggestions on the jobs of the last twelve months."""
    frame = frames["page.score"]
    if frame.is_empty():
        return Section(_QUESTION, _CANNOT_SAY, notes=loads.list_notes(frames))
    whole = frame.filter("is_all").row(0, named=True)
    by_material = frame.filter(~pl.col("is_all"))
    finding = _find(whole)
    folded = (_list_ways(frames["page.score_way"]),)
    if by_material.is_empty():
        notes = (_HOW_MADE, *_say_allowed(whole), *loads.list_notes(frames))
        return Section(
            _QUESTION, finding, notes=notes, tables=(_list_scores(frame),), folded=folded
        )
    figure = Figure(
        f"{finding} {_AXIS_TITLE}, by material.",
        lambda canvas: _draw(by_material.head(_MOST_ROWS), canvas),
        _list_scores(frame),
    )
    notes = (
        " ".join([_HOW_TO_READ, *_not_drawn(by_material)]),
        _HOW_MADE,
        *_say_allowed(whole),
        _say_loaded(whole),
        *loads.list_notes(frames),
    )
    return Section(_QUESTION, finding, figure, notes, folded=folded)


def _find(whole: dict[str, Any]) -> str:
    suggested = whole["suggested_error_gbp"]
    other, name = min((whole[f"{way}_error_gbp"], name) for way, name in _PLAIN_WAYS.items())
    jobs = words.counted(whole["job_count"], "past job")
    both = f"the suggestions miss by {words.pounds(suggested)}, {name}"
    if abs(other - suggested) < _SAME_GBP:
        return f"On {jobs} {both} by as much."
    if suggested < other:
        return f"On {jobs} {both} by {words.pounds(other)}."
    return f"Not on {jobs}: {both} only by {words.pounds(other)}."


def _say_allowed(whole: dict[str, Any]) -> tuple[str, ...]:
    allowed, suggested = whole["allowed_error_gbp"], whole["suggested_beside_allowed_gbp"]
    if allowed is None or suggested is None:
        return ()
    lines = words.counted(whole["allowed_line_count"], "line")
    said = (
        f"On the {lines} where we know what you allowed then, that missed by "
        f"{words.pounds(allowed)}, the suggestions by {words.pounds(suggested)}."
    )
    return (said,)


def _say_loaded(whole: dict[str, Any]) -> str:
    material, job = (_in_hundred(whole[f"covered_{name}_ratio"]) for name in ("line", "job"))
    return (
        f"Loaded as suggested, a material lasted on {material} jobs in 100 and everything lasted "
        f"on {job} in 100, before tins, rolls and lengths are made whole."
    )


def _in_hundred(ratio: float) -> str:
    return f"{round(ratio * 100)}"


def _not_drawn(frame: pl.DataFrame) -> tuple[str, ...]:
    left = frame.height - _MOST_ROWS
    return (f"{left} more with less money stand in the table.",) if left > 0 else ()


def _draw(frame: pl.DataFrame, canvas: theme.Canvas) -> Drawing:
    errors = ("suggested_error_gbp", "tenth_error_gbp", "ratio_error_gbp")
    shown = charts.as_floats(frame)
    values = [value for name in errors for value in shown[name]]
    axis = charts.round_axis(values, _AXIS_TITLE, words.pounds, from_zero=True)
    pairs = tuple(
        f"{words.pounds(row[errors[0]])}, {words.pounds(row[errors[1]])}"
        for row in frame.iter_rows(named=True)
    )
    heads = () if canvas.is_narrow else _HEADS
    chart = RowChart(canvas, axis, tuple(frame["material"]), (pairs,), heads, has_grid=True)
    placed = chart.place(shown)
    return chart.finish(
        [
            chart.spans(placed, errors[0], errors[1], width=3, colour=theme.PALE_BLUE),
            chart.dots(placed, errors[2], size=50, is_open=True, shape="square"),
            chart.dots(placed, errors[1], is_open=True),
            chart.dots(placed, errors[0]),
        ]
    )


def _list_scores(frame: pl.DataFrame) -> Table:
    rows = [
        (
            "all materials" if row["is_all"] else row["material"],
            words.counted(row["line_count"], "line"),
            words.pounds(row["suggested_error_gbp"]),
            _as_allowed(row),
            *(words.pounds(row[f"{way}_error_gbp"]) for way in _PLAIN_WAYS),
            words.exact_pounds(row["suggested_beyond_gbp"]),
            words.exact_pounds(row["tenth_beyond_gbp"]),
            f"{_in_hundred(row['covered_line_ratio'])} in 100",
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = (
        "Material", "Tried on", "Misses as suggested", "As you allowed then", "A tenth on top",
        "One figure for all types", "Too much a line as suggested, minus is too little",
        "With a tenth on top", "Lines on which the load lasted",
    )  # fmt: skip
    caption = "Misses over twelve months, ex VAT; a line is one material on one job"
    return Table(caption, heads, tuple(rows), frozenset(range(2, 9)))


def _as_allowed(row: dict[str, Any]) -> str:
    """Return the miss where all lines are known to have been allowed something, else nothing."""
    if row["allowed_line_count"] != row["line_count"]:
        return ""
    return words.pounds(row["allowed_error_gbp"])


def _list_ways(frame: pl.DataFrame) -> Table:
    rows = [
        (
            _WAYS.get(row["method"], row["method"]),
            words.counted(row["line_count"], "line"),
            "" if row["cost_error_gbp"] is None else words.pounds(row["cost_error_gbp"]),
            f"{row['pinball_ratio']:.1%}".removesuffix("%"),
            f"{row['suggested_pinball_ratio']:.1%}".removesuffix("%"),
            f"{_in_hundred(row['covered_line_ratio'])} in 100",
            f"{_in_hundred(row['covered_job_ratio'])} in 100",
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = (
        "Way", "Tried on", "Misses of the charge", "Miss of the load", "As suggested, same lines",
        "Lines on which the load lasted", "Jobs on which everything lasted",
    )  # fmt: skip
    caption = f"All materials together, every way. {_HOW_LOAD_COUNTS}"
    return Table(caption, heads, tuple(rows), frozenset(range(2, 7)))
