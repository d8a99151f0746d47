"""What the roofs were allowed and what they took."""

from decimal import Decimal
from typing import Any

import polars as pl

from reports import charts, months, theme, words
from reports.bought import make_bought_section
from reports.firm import Firm
from reports.page import Action, Drawing, Figure, Frames, Section, Table
from reports.rows import RowChart

READS_TAKEN = ("page.allowed_and_used", "page.bought_rate")
READS_MONTHS = ("page.use_by_month",)

_CLOSE_GBP = 25
_MOST_PARTS = 8
_TAKEN = "What did the roofs take beyond what was allowed?"
_MOST_PANELS = 4


def make_taken_section(frames: Frames, firm: Firm) -> Section:
    """Return what the roofs took beyond what was allowed; for invoices alone, what was bought."""
    if not firm.has_issues:
        return make_bought_section(frames)
    frame = frames["page.allowed_and_used"].sort(
        pl.col("difference_gbp").fill_null(0), descending=True, maintain_order=True
    )
    if frame.is_empty():
        return Section(
            _TAKEN,
            "We cannot say yet: no job finished lately says both what was allowed and what was "
            "used. The job materials record would answer this.",
        )
    priced = frame.drop_nulls("difference_gbp")
    finding = _find_taken(priced)
    figure = None if priced.is_empty() else _figure_taken(frame, priced, finding)
    note = (
        "Filled: took more. Open: took less. At the right, what was allowed → what was used. "
        f"Pounds at the price in force; jobs of {firm.lately} with both figures."
    )
    return Section(_TAKEN, finding, figure, (note,), action=_act_on_taken(priced))


def _find_taken(frame: pl.DataFrame) -> str:
    if frame.is_empty():
        return "We cannot say in pounds yet: the materials used have no price. Prices would answer."
    total = sum(frame["difference_gbp"].to_list(), Decimal(0))
    if abs(total) < _CLOSE_GBP:
        return "The roofs took what was allowed, to within £25."
    word = "more" if total > 0 else "less"
    largest = frame.row(0 if total > 0 else -1, named=True)
    part = words.pounds(abs(largest["difference_gbp"]))
    return (
        f"The roofs took {words.pounds(abs(total))} {word} material than was allowed; "
        f"{largest['material']} is the largest part, {part}."
    )


def _act_on_taken(frame: pl.DataFrame) -> Action | None:
    worst = frame.head(1)
    if worst.is_empty() or worst["difference_gbp"][0] < _CLOSE_GBP:
        return None
    return Action(
        f"{words.start_upper(worst['material'][0])} first",
        "See whether the allowance is off, or whether a few jobs made the difference.",
        ("The allowances", "estimator.html#q1"),
    )


def _figure_taken(frame: pl.DataFrame, priced: pl.DataFrame, finding: str) -> Figure:
    return Figure(
        f"{finding} Pounds beyond what was allowed, by material.",
        lambda canvas: _draw_taken(priced, canvas),
        _list_taken(frame),
    )


def _parts(frame: pl.DataFrame) -> pl.DataFrame:
    """Return the largest rows and one that is the sum of all others, so that they add up."""
    if frame.height <= _MOST_PARTS + 1:
        return frame.with_columns(beside=pl.Series([_allowed_used(r) for r in _rows(frame)]))
    by_size = frame.sort(pl.col("difference_gbp").abs(), descending=True, maintain_order=True)
    largest, rest = by_size.head(_MOST_PARTS), by_size.tail(-_MOST_PARTS)
    largest = largest.sort("difference_gbp", descending=True, maintain_order=True)
    texts = pl.Series([_allowed_used(row) for row in _rows(largest)])
    together = pl.DataFrame(
        {
            "material": [f"{rest.height} others"],
            "difference_gbp": [sum(rest["difference_gbp"].to_list(), Decimal(0))],
            "beside": [""],
        },
        schema_overrides={"difference_gbp": frame.schema["difference_gbp"]},
    )
    shown = ["material", "difference_gbp", "beside"]
    return pl.concat([largest.with_columns(beside=texts).select(shown), together])


def _rows(frame: pl.DataFrame) -> list[dict[str, Any]]:
    return frame.to_dicts()


def _draw_taken(whole: pl.DataFrame, canvas: theme.Canvas) -> Drawing:
    title = "Pounds beyond what was allowed"
    frame = _parts(whole)
    money = charts.as_floats(frame).with_columns(
        nothing=pl.lit(0.0),
        label=pl.Series(map(words.signed_pounds, frame["difference_gbp"]), dtype=pl.String),
    )
    values = money["difference_gbp"].to_list()
    room = (max(*values, 0) - min(*values, 0)) * 0.16
    ends = [*values, max(values) + room, min(values) - room if min(values) < 0 else 0]
    axis = charts.round_axis(ends, title, words.signed_pounds, from_zero=True)
    beside = (tuple(frame["beside"]),)
    chart = RowChart(canvas, axis, tuple(frame["material"]), beside, ("allowed → used",))
    placed = chart.place(money)
    more, less = placed.filter(pl.col("difference_gbp") >= 0), placed.filter(
        pl.col("difference_gbp") < 0
    )  # fmt: skip
    return chart.finish(
        [
            *chart.line_at(0, "as allowed", dash=()),
            chart.bars(more, "nothing", "difference_gbp"),
            chart.bars(less, "nothing", "difference_gbp", is_open=True),
            *chart.labels(more, "difference_gbp", align="left", dx=6, dy=0),
            *chart.labels(less, "difference_gbp", align="right", dx=-6, dy=0),
        ]
    )


def _allowed_used(row: dict[str, Any]) -> str:
    return words.from_to(row["allowed_quantity"], row["used_quantity"], row["base_unit"])


def _list_taken(frame: pl.DataFrame) -> Table:
    rows = [
        (
            row["material"],
            words.counted(row["job_count"], "job"),
            words.quantity(row["allowed_quantity"], row["base_unit"]),
            words.quantity(row["used_quantity"], row["base_unit"]),
            words.signed_quantity(row["difference_quantity"], row["base_unit"]),
            "no price" if row["difference_gbp"] is None
            else words.signed_pounds(row["difference_gbp"]),
        )
        for row in frame.iter_rows(named=True)
    ]  # fmt: skip
    heads = ("Material", "Jobs", "Allowed", "Used", "More or less than allowed", "In pounds")
    return Table("Allowed and used", heads, tuple(rows), frozenset(range(1, 6)))


def make_month_section(frames: Frames) -> Section:
    """Return the section that says whether use is creeping up."""
    frame = frames["page.use_by_month"].drop_nulls("use_rate").sort("month_on", maintain_order=True)
    question = "Is it getting worse?"
    if frame.is_empty():
        return Section(
            question,
            "We cannot say yet: no job says what it took. The job materials record, what went "
            "out and what came back, would answer this.",
        )
    finding = _find_use(frame)
    if frame["month_on"].n_unique() == 1:
        return Section(question, finding, tables=(_list_use(frame),))
    panels = [_use_panel(frame.filter(material=name)) for name in _shown_materials(frame)]
    figure = Figure(
        f"{finding} Use by month, each material in its own unit.",
        lambda canvas: months.month_charts(panels, canvas),
        _list_use(frame),
    )
    more = frame["material"].n_unique() - len(panels)
    others = f" {words.start_upper(words.counted_in_words(more, 'more material'))}: see the table."
    note = (
        "The band is the usual range: of 24 months without a cause, about one leaves it by "
        "chance. A diamond marks a month outside; the broken line is what you allow."
        f"{others if more else ''}"
    )
    return Section(question, finding, figure, (note,))


def _shown_materials(frame: pl.DataFrame) -> list[str]:
    """Return the materials that get a chart: those outside in the last month, then in order."""
    names = frame["material"].unique(maintain_order=True).to_list()
    last = frame.filter(pl.col("month_on") == pl.col("month_on").max())
    outside = set(last.filter(pl.col("is_outside"))["material"])
    kept = sorted(names, key=lambda name: name not in outside)[:_MOST_PANELS]
    return [name for name in names if name in kept]


def _use_panel(frame: pl.DataFrame) -> months.Panel:
    last = frame.row(-1, named=True)
    label = last["rate_label"]
    return months.Panel(
        f"{words.start_upper(last['material'])}, {label}",
        frame.select("month_on", pl.col("is_outside").fill_null(value=False), value="use_rate"),
        lambda value: words.rate(value, label),
        last["allowed_rate"],
        last["usual_low_rate"],
        last["usual_high_rate"],
    )


def _find_use(frame: pl.DataFrame) -> str:
    last = frame.filter(pl.col("month_on") == pl.col("month_on").max())
    count = last.height
    if last["usual_low_rate"].null_count() == count:
        return f"{_now(last.row(0, named=True))}; not enough months yet to say what is usual."
    outside = last.filter(pl.col("is_outside"))
    if outside.is_empty():
        return f"All {words.counted_in_words(count, 'material')} are where they usually are."
    rest = count - outside.height
    others = " The others are where they usually are." if rest else ""
    return f"{_now(outside.row(0, named=True))}: outside its usual range.{others}"


def _now(row: dict[str, Any]) -> str:
    label = row["rate_label"]
    allowed = row["allowed_rate"]
    text = (
        f"{words.start_upper(row['material'])} took {words.rate_with_label(row['use_rate'], label)}"
        f" in {words.month_name(row['month_on'])}"
    )
    return text if allowed is None else f"{text}, and you allow {words.rate(allowed, label)}"


def _list_use(frame: pl.DataFrame) -> Table:
    rows = [
        (
            words.month(row["month_on"]),
            row["material"],
            words.counted(row["job_count"], "job"),
            words.rate_with_label(row["use_rate"], row["rate_label"]),
            "" if row["allowed_rate"] is None
            else words.rate(row["allowed_rate"], row["rate_label"]),
            "outside" if row["is_outside"] else "",
        )
        for row in frame.sort("material", "month_on", maintain_order=True).iter_rows(named=True)
    ]  # fmt: skip
    heads = ("Month", "Material", "Jobs", "Used", "Allowed", "Usual range")
    return Table("Use by month", heads, tuple(rows), frozenset({2, 3, 4}))
