"""Where the material beyond the quotes went, part by part."""

from decimal import Decimal
from typing import Any

import polars as pl

from reports import charts, theme, words
from reports.firm import Firm
from reports.page import Drawing, Figure, Frames, Section, Table
from reports.rows import RowChart

READS = ("page.margin_part", "page.delivery", "page.mix_yield")

_QUESTION = "Where did the margin go?"
_WORDS = {
    1: ("old prices in quotes", "estimator"),
    2: ("bought dearer", "buyer"),
    3: ("bigger or different", "charged as an extra?"),
    4: ("laps", "estimator"),
    5: ("unavoidable rests", "estimator"),
    6: ("offcuts to save", "on the roof"),
    7: ("lost, and written down", "on the roof"),
    8: ("not explained", "ask"),
    9: ("not told apart", "see the note"),
}
"""By number of the part: what it is, and who answers."""
_SCOPE = 3
_LEAST_GBP = 0.5


def make_section(frames: Frames, firm: Firm) -> Section:
    """Return what the material cost beyond the quotes, and whose answer each part is."""
    frame = frames["page.margin_part"]
    if frame.is_empty():
        return Section(
            _QUESTION,
            "We cannot say yet: no job finished lately has use, a quoted quantity and prices. The "
            "job materials record and the prices would answer this.",
        )
    finding, delivery = _find(frame), frames["page.delivery"]
    drawn = frame.filter((pl.col("known_count") > 0) & (pl.col("part_gbp").abs() >= _LEAST_GBP))
    says = f"{finding} Pounds beyond the quotes, part by part."
    if drawn.is_empty():
        return Section(_QUESTION, finding, tables=(_list_parts(frame, delivery),))
    figure = Figure(says, lambda canvas: _draw(drawn, canvas), _list_parts(frame, delivery))
    notes = (_note(frame, firm), *_memos(frames["page.mix_yield"]))
    return Section(_QUESTION, finding, figure, notes, is_printed=False)


def _beyond(frame: pl.DataFrame) -> Decimal:
    return sum(frame["part_gbp"].to_list(), Decimal(0))


def _find(frame: pl.DataFrame) -> str:
    beyond = _beyond(frame)
    word = "more" if beyond >= 0 else "less"
    largest = max(frame.iter_rows(named=True), key=lambda row: abs(row["part_gbp"]))
    return (
        f"Material cost {words.pounds(abs(beyond))} {word} than the quotes had in them; the "
        f"largest part, {words.pounds(largest['part_gbp'])}: {_say(largest)}."
    )


def _say(row: dict[str, Any]) -> str:
    return _WORDS[row["part_no"]][0]


def _who(row: dict[str, Any]) -> str:
    if row["charged_gbp"]:
        return f"extras charged: {words.pounds(row['charged_gbp'])}"
    return _WORDS[row["part_no"]][1]


def _note(frame: pl.DataFrame, firm: Firm) -> str:
    jobs = words.counted(max(frame["job_count"].to_list()), "job")
    scope = frame.filter(part_no=_SCOPE)
    unknown = sum(scope["line_count"].to_list()) - sum(scope["known_count"].to_list())
    said = (
        f"{words.start_upper(jobs)} of {firm.lately}: the cost of the very tins, delivery in, less "
        "the quote at its day's prices. Use is not told apart where nobody measured again or wrote "
        "down what was binned, and of what is poured."
    )
    if unknown:
        return f"{said} Of {words.counted(unknown, 'line')} the measured roof is not known."
    return said


def _memos(mixed: pl.DataFrame) -> list[str]:
    """Return one sentence for each kind of which jobs mixed materials."""
    return [
        f"Of {row['kind']}, on {words.counted(row['job_count'], 'job')} with more than one sort: "
        f"another mix {words.signed_pounds(row['mix_gbp'])}, more or less of it "
        f"{words.signed_pounds(row['yield_gbp'])}. The same pounds, told another way."
        for row in mixed.iter_rows(named=True)
    ]


def _draw(frame: pl.DataFrame, canvas: theme.Canvas) -> Drawing:
    shown = charts.as_floats(frame).with_columns(
        nothing=pl.lit(0.0),
        label=pl.Series(map(words.signed_pounds, frame["part_gbp"]), dtype=pl.String),
    )
    values = shown["part_gbp"].to_list()
    room = (max(*values, 0) - min(*values, 0)) * 0.2
    ends = [*values, max(*values, 0) + room, min(*values, 0) - room if min(values) < 0 else 0]
    title = "Pounds beyond the quotes"
    axis = charts.round_axis(ends, title, words.signed_pounds, from_zero=True)
    rows = frame.to_dicts()
    chart = RowChart(
        canvas, axis, tuple(map(_say, rows)), (tuple(map(_who, rows)),), ("who answers",)
    )
    placed = chart.place(shown)
    more = placed.filter(pl.col("part_gbp") >= 0)
    less = placed.filter(pl.col("part_gbp") < 0)
    return chart.finish(
        [
            *chart.line_at(0, "as quoted", dash=()),
            chart.bars(more, "nothing", "part_gbp"),
            chart.bars(less, "nothing", "part_gbp", is_open=True),
            *chart.labels(more, "part_gbp", align="left", dx=6, dy=0),
            *chart.labels(less, "part_gbp", align="right", dx=-6, dy=0),
        ]
    )


def _list_parts(frame: pl.DataFrame, delivery: pl.DataFrame) -> Table:
    rows = [
        (
            words.start_upper(_say(row)),
            words.signed_pounds(row["part_gbp"]) if row["known_count"] else "not known",
            f"{row['known_count']} of {words.counted(row['line_count'], 'line')}",
            _who(row),
        )
        for row in frame.iter_rows(named=True)
    ]
    first = frame.row(0, named=True)
    cost, quoted = words.pounds(first["cost_gbp"]), words.pounds(first["quoted_gbp"])
    whole = (
        f"All together: {cost} cost, {quoted} quoted",
        words.signed_pounds(_beyond(frame)),
        words.counted(first["line_count"], "line"),
        "",
    )
    heads = ("Part", "Beyond the quotes", "Known on", "Who answers")
    return Table(
        "Where the margin went", heads, (*rows, whole, *_delivery(delivery)), frozenset({1, 2})
    )


def _delivery(delivery: pl.DataFrame) -> list[tuple[str, ...]]:
    """Return the delivery inside what was bought dearer, and that on a line of its own."""
    in_jobs, own_line = delivery.row(0) if delivery.height else (0, 0)
    said = (
        ("Of what was bought dearer: delivery", in_jobs, "in the tins"),
        ("Delivery on its own line, in no job", own_line, "by invoice"),
    )
    return [(name, words.pounds(gbp), where, "buyer") for name, gbp, where in said if gbp]
