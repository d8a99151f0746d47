"""Where the trim went: onto the roof, into laps, into rests that no plan saves, and beyond."""

from decimal import Decimal
from typing import Any

import polars as pl

from reports import charts, sizes, theme, words
from reports.page import Action, Drawing, Figure, Frames, Section, Table
from reports.rows import RowChart

READS = ("page.cut_split", "page.cut_job", *sizes.READS)

_QUESTION = "Where did the trim go?"
_TEN = 10
_RATE = "m per 10 m"
_PARTS = ("lap", "unavoidable", "avoidable", "unexplained", "beyond_plan")
_BEYOND = ("avoidable", "unexplained", "beyond_plan")


def make_section(frames: Frames) -> Section:
    """Return what was cut, beside the least that the edges needed."""
    frame = frames["page.cut_split"].filter(pl.col("net_quantity") > 0)
    trims = frame.filter(kind="trim")
    if trims.is_empty():
        return Section(
            _QUESTION,
            "We cannot say yet: no finished job says its edges and the lengths that it took. The "
            "edges record and the job materials record would answer this.",
        )
    figure = Figure(
        f"{_find(trims)} By material, for every 10 needed.",
        lambda canvas: _draw(frame, canvas),
        _list_parts(frame),
    )
    return Section(
        _QUESTION,
        _find(trims),
        figure,
        (_note(frame), *sizes.say_defaults(frames, frame["material"])),
        action=_act(frames["page.cut_job"]),
        is_wide=True,
        folded=(_list_jobs(frames["page.cut_job"]),) if frames["page.cut_job"].height else (),
    )


def _total(frame: pl.DataFrame, *parts: str) -> Decimal:
    return sum(
        (value for part in parts for value in frame[f"{part}_quantity"].to_list()), Decimal(0)
    )


def _find(trims: pl.DataFrame) -> str:
    net = _total(trims, "net")
    needed = _total(trims, "lap", "unavoidable") * _TEN / net
    beyond = _total(trims, *_BEYOND) * _TEN / net
    money = trims["beyond_gbp"].drop_nulls().to_list()
    said = (
        f"For every 10{words.NO_BREAK}m of trim {_metres(needed)} more was unavoidable and "
        f"{_metres(beyond)} was not"
    )
    return f"{said}: {words.pounds(sum(money, Decimal(0)))} in a year." if money else f"{said}."


def _metres(value: Decimal) -> str:
    return f"{words.rate(value, _RATE)}{words.NO_BREAK}m"


def _note(frame: pl.DataFrame) -> str:
    jobs = words.counted(max(frame["job_count"].to_list()), "job")
    unproven = sum(frame["job_count"].to_list()) - sum(frame["proven_count"].to_list())
    below = sum(frame["below_zero_count"].to_list())
    said = (
        f"Last twelve months, up to {jobs} a material. Pale: laps, saw cuts and rests of the best "
        "plan of the edges as fitted, from new lengths. Dark: used beyond it."
    )
    if unproven:
        plans = words.counted(unproven, "plan")
        said += f" Of {plans} it is not proven that none is better."
    if below:
        said += (
            f" On {words.counted(below, 'line')} a part came out below 0: a length too few is "
            "written, or a leftover too many."
        )
    return said


def _per_ten(frame: pl.DataFrame) -> pl.DataFrame:
    needed = pl.col("lap_quantity") + pl.col("unavoidable_quantity")
    return charts.as_floats(frame).with_columns(
        nothing=pl.lit(0.0),
        needed=needed * _TEN / pl.col("net_quantity"),
        whole=(pl.col("used_quantity") - pl.col("net_quantity")) * _TEN / pl.col("net_quantity"),
    )


def _draw(frame: pl.DataFrame, canvas: theme.Canvas) -> Drawing:
    shown = _per_ten(frame).with_columns(
        label=pl.col("whole").map_elements(lambda value: f"{value:.1f}", return_dtype=pl.String)
    )
    ends = [*shown["whole"].to_list(), *shown["needed"].to_list()]
    axis = charts.round_axis(
        ends, "Beyond the bare need, for every 10 m (boards: 10 m²)", lambda v: f"{v:g}",
        from_zero=True,
    )  # fmt: skip
    columns = tuple(
        tuple(_tenth(row, *parts) for row in frame.iter_rows(named=True))
        for parts in (("lap",), ("unavoidable",))
    )
    beyond = tuple(f"{_tenth(row, *_BEYOND)} beyond" for row in frame.iter_rows(named=True))
    chart = RowChart(
        canvas,
        axis,
        tuple(frame["material"]),
        (*columns, beyond),
        ("laps", "rests of the plan", ""),
    )
    placed = chart.place(shown)
    above = placed.filter(pl.col("whole") >= pl.col("needed"))
    below = placed.filter(pl.col("whole") < pl.col("needed"))
    return chart.finish(
        [
            *chart.line_at(0, "", dash=()),
            chart.bars(placed, "nothing", "needed", colour=theme.PALE_BLUE),
            chart.bars(above, "needed", "whole"),
            chart.bars(below, "whole", "needed", is_open=True),
            *chart.labels(above, "whole", align="left", dx=6, dy=0),
            *chart.labels(below, "needed", align="left", dx=6, dy=0),
        ]
    )


def _tenth(row: dict[str, Any], *parts: str) -> str:
    value = sum((row[f"{part}_quantity"] for part in parts), Decimal(0))
    return words.rate(value * _TEN / row["net_quantity"], _RATE)


def _list_parts(frame: pl.DataFrame) -> Table:
    rows = [
        (
            row["material"],
            words.counted(row["job_count"], "job"),
            *(_amount(row, name) for name in ("used", "net", *_PARTS)),
            "no price" if row["beyond_gbp"] is None else words.signed_pounds(row["beyond_gbp"]),
        )
        for row in frame.iter_rows(named=True)
    ]  # fmt: skip
    heads = (
        "Material", "Jobs", "Used", "On the roof", "Laps", "Unavoidable", "Avoidable",
        "Not explained", "Leftovers not written down", "Beyond the plan",
    )  # fmt: skip
    return Table("Where trim, batten and board went", heads, tuple(rows), frozenset(range(1, 10)))


def _list_jobs(frame: pl.DataFrame) -> Table:
    rows = [
        (
            f"{row['job_ref']} {row['job_type']}",
            words.day(row["completed_on"]),
            row["material"],
            _amount(row, "plan"),
            _amount(row, "used"),
            words.signed_pounds(row["beyond_gbp"]),
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = ("Job", "Finished", "Material", "The best plan uses", "Used", "Beyond")
    caption = "The jobs that went furthest beyond their plan"
    return Table(caption, heads, tuple(rows), frozenset({3, 4, 5}))


def _act(frame: pl.DataFrame) -> Action | None:
    if frame.is_empty():
        return None
    first = frame.row(0, named=True)
    return Action(
        f"Ask about {first['job_ref']}",
        f"{words.start_upper(first['material'])}: {_amount(first, 'used')} used where the best "
        f"plan takes {_amount(first, 'plan')}. A spoilt piece, or leftovers that nobody looked at?",
    )


def _amount(row: dict[str, Any], name: str) -> str:
    return words.quantity(row[f"{name}_quantity"], row["base_unit"])
