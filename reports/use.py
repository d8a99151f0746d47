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
READS_QUESTIONS = ("page.job_to_ask_about",)

_CLOSE_GBP = 25
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
        "Filled: took more. Open: took less. Pounds at the price in force; jobs of "
        f"{firm.lately} with both figures."
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


def _draw_taken(frame: pl.DataFrame, canvas: theme.Canvas) -> Drawing:
    title = "Pounds beyond what was allowed"
    money = charts.as_floats(frame).with_columns(
        nothing=pl.lit(0.0),
        label=pl.Series(map(words.signed_pounds, frame["difference_gbp"]), dtype=pl.String),
    )
    values = money["difference_gbp"].to_list()
    room = (max(*values, 0) - min(*values, 0)) * 0.16
    ends = [*values, max(values) + room, min(values) - room if min(values) < 0 else 0]
    axis = charts.round_axis(ends, title, words.signed_pounds, from_zero=True)
    texts = tuple(_allowed_used(row) for row in frame.iter_rows(named=True))
    chart = RowChart(canvas, axis, tuple(frame["material"]), (texts,))
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
    allowed = words.quantity(row["allowed_quantity"], row["base_unit"])
    used = words.quantity(row["used_quantity"], row["base_unit"])
    return f"{allowed.split(words.NO_BREAK)[0]} → {used}"


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
    names = frame["material"].unique(maintain_order=True).to_list()
    panels = [_use_panel(frame.filter(material=name)) for name in names[:_MOST_PANELS]]
    figure = Figure(
        f"{finding} Use by month, each material in its own unit.",
        lambda canvas: months.month_charts(panels, canvas),
        _list_use(frame),
    )
    note = (
        "The band is the usual range: of 24 months without a cause, about one leaves it by "
        "chance. A diamond marks a month outside; the broken line is what you allow."
    )
    return Section(question, finding, figure, (note,))


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


def make_question_section(frames: Frames, firm: Firm) -> Section:
    """Return the jobs that are worth a question, the paper reason first."""
    frame = frames["page.job_to_ask_about"].sort(
        "beyond_gbp", descending=True, nulls_last=True, maintain_order=True
    )
    question = "Which jobs are worth a question?"
    if frame.is_empty():
        return Section(question, _no_question(firm))
    total = words.pounds(sum(frame["beyond_gbp"].drop_nulls().to_list(), Decimal(0)))
    count = words.start_upper(words.counted_in_words(frame.height, "job"))
    together = " together" if frame.height > 1 else ""
    finding = f"{count} used more than {_their(frame.height)} can explain, {total}{together}."
    action = Action(
        "One call, five words",
        "Ask for the missing paper first. Hand in the return or the new measure, and the job "
        "leaves this list.",
    )
    note = "Only jobs beyond the usual range of their type are listed. Nothing here names a person."
    return Section(question, finding, None, (note,), (_list_questions(frame),), action)


def _their(count: int) -> str:
    return "its roof" if count == 1 else "their roofs"


def _no_question(firm: Firm) -> str:
    if not firm.has_issues:
        return "We cannot say yet: no job says what it took. Return cards would answer this."
    return "No job used more than its roof can explain."


def _usual(row: dict[str, Any]) -> str:
    low, high = (
        words.quantity(row[name], row["base_unit"])
        for name in ("usual_low_quantity", "usual_high_quantity")
    )
    return f"{low} to {high}"


def _list_questions(frame: pl.DataFrame) -> Table:
    rows = [
        (
            f"{row['job_ref']} {row['job_type']}, {words.short_day(row['completed_on'])}",
            row["material"],
            "no price" if row["beyond_gbp"] is None else words.pounds(row["beyond_gbp"]),
            words.quantity(row["used_quantity"], row["base_unit"]),
            _usual(row),
            row["ask"],
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = ("Job", "Material", "Beyond the usual", "Used", "Usual for such a roof", "Ask first")
    return Table(
        "Jobs outside the usual range, largest first", heads, tuple(rows), frozenset({2, 3})
    )
