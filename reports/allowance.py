"""What is allowed beside what the jobs used, by job type."""

from typing import Any

import altair as alt
import polars as pl

from reports import charts, theme, words
from reports.charts import Axis, Layers
from reports.page import Drawing, Figure, Frames, Section, Table

READS = ("page.allowance",)

_QUESTION = "Which allowances should change, and by how much?"
_MOST_WORDS = 24
_MOST_PANELS = 6
_NAME_LETTERS = 18
_STEP_PX = 28
_PAPER_STEP_PX = 25
_N_PX = 58
_HOW_TO_READ = (
    "Dot: what a usual job of that type uses. Bar: where the true figure lies, eight times in ten. "
    "Filled dot: the bar does not reach what you allow. Broken line: what you allow. Full upright "
    "line: the least a sound roof holds."
)
_CAUTION = (
    "Use below what a sound roof holds is never a saving: look at the roof and check the record."
)


def make_section(frames: Frames) -> Section:
    """Return the section that lays what is allowed beside what the jobs used."""
    frame = frames["page.allowance"]
    if frame.is_empty():
        return Section(
            _QUESTION,
            "We cannot say yet: no finished job says what it took. The job materials record, what "
            "went out and what came back, would answer this.",
        )
    finding = _find(frame)
    judged = frame.drop_nulls(["suggested_rate", "low_rate", "high_rate"])
    figure = None if judged.is_empty() else Figure(
        f"{finding} What a usual job uses beside what is allowed, by job type.",
        lambda canvas: _draw(frame, judged, canvas),
        _list_allowances(frame),
    )  # fmt: skip
    tables = () if figure else (_list_allowances(frame),)
    notes = (" ".join([_HOW_TO_READ, *_not_drawn(judged), _CAUTION]) if figure else _CAUTION,)
    return Section(_QUESTION, finding, figure, notes, tables, is_wide=True)


def _find(frame: pl.DataFrame) -> str:
    judged = frame.drop_nulls(["suggested_rate", "allowed_rate"])
    off = judged.filter(pl.col("is_off"))
    if judged.is_empty():
        if frame["suggested_rate"].null_count() == frame.height:
            return "We cannot say yet: three jobs of one type must say what they took."
        return "You state no allowance yet; the dots are what the jobs used."
    if off.is_empty():
        return f"All {judged.height} allowances agree with what the jobs used."
    number = words.start_upper(words.number_in_words(off.height))
    count = f"{number} of {judged.height} allowances {words.is_or_are(off.height)} off"
    named = [_needs(rows) for rows in off.partition_by("job_type", maintain_order=True)]
    rest = judged.height - off.height
    others = f" The other {rest} agree with what the jobs used." if rest else ""
    whole = f"{count}: {'; '.join(named)}.{others}"
    return whole if len(whole.split()) <= _MOST_WORDS else f"{count}{_most_money(off)}."


def _most_money(off: pl.DataFrame) -> str:
    priced = off.drop_nulls("at_stake_gbp").sort("at_stake_gbp", descending=True)
    if priced.is_empty():
        return ""
    first = priced.row(0, named=True)
    return (
        f"; most money is in {first['material']} for {words.plural(first['job_type'])}, "
        f"{words.pounds(first['at_stake_gbp'])} in a year"
    )


def _by_money(judged: pl.DataFrame) -> list[str]:
    """Return the materials, those first whose allowances that are off hold most money."""
    stake = pl.col("at_stake_gbp").fill_null(0) * pl.col("is_off").cast(pl.Int64)
    summed = judged.group_by("material", maintain_order=True).agg(stake.sum().alias("stake"))
    return summed.sort("stake", descending=True, maintain_order=True)["material"].to_list()


def _not_drawn(judged: pl.DataFrame) -> tuple[str, ...]:
    left_out = _by_money(judged)[_MOST_PANELS:]
    if not left_out:
        return ()
    return (f"Drawn are the {_MOST_PANELS} of most money; {words.listed(left_out)}: in the table.",)


def _needs(rows: pl.DataFrame) -> str:
    parts = [
        f"{'more' if row['suggested_rate'] > row['allowed_rate'] else 'less'} {row['material']}"
        for row in rows.iter_rows(named=True)
    ]
    return f"{words.plural(rows['job_type'][0])} need {words.listed(parts)}"


def _draw(frame: pl.DataFrame, judged: pl.DataFrame, canvas: theme.Canvas) -> Drawing:
    types = _order_types(frame)
    materials = _by_money(judged)[:_MOST_PANELS]
    across = _panels_across(canvas, len(materials))
    name_px = max(charts.width_of(name, is_heavy=True) for name in types.values()) + 10
    panels = [
        _panel(
            judged.filter(material=name),
            types,
            name_px,
            _panel_px(canvas, across, name_px),
            _PAPER_STEP_PX if canvas.is_paper else _STEP_PX,
        )
        for name in materials
    ]
    return alt.concat(*panels, columns=across, spacing={"row": 28, "column": 22})


def _panels_across(canvas: theme.Canvas, count: int) -> int:
    if canvas.is_narrow:
        return 1
    return count if canvas.is_paper and count == 4 else min(3, count)  # noqa: PLR2004 - one row


def _panel_px(canvas: theme.Canvas, across: int, name_px: float) -> float:
    whole: float = (canvas.width - 22 * (across - 1)) / across
    return whole - name_px - _N_PX


def _order_types(frame: pl.DataFrame) -> dict[str, str]:
    names = frame["job_type"].unique(maintain_order=True).to_list()
    return {name: charts.folded(name, _NAME_LETTERS) for name in names}


def _panel(
    frame: pl.DataFrame, types: dict[str, str], name_px: float, plot_px: float, least_px: float
) -> alt.LayerChart:
    rows = {name: float(number) for number, name in enumerate(types)}
    step = max(least_px, max(name.count("\n") + 1 for name in types.values()) * 16 + 6)
    placed = (
        charts.as_floats(frame)
        .with_columns(
            row=pl.col("job_type").replace_strict(rows, return_dtype=pl.Float64),
            jobs=pl.col("job_count").map_elements(_jobs, return_dtype=pl.String),
            label=pl.Series(
                [words.rate(r, frame["rate_label"][0]) for r in frame["suggested_rate"]]
            ),
        )
        .with_columns(from_row=pl.col("row") - 0.42, to_row=pl.col("row") + 0.42)
    )
    x_axis = _rate_axis(frame, 2)
    y = charts.row_axis(len(types), "row")
    layers = [
        *_levels(placed, x_axis, len(types), plot_px),
        *_marks(placed, x_axis, len(types), step),
    ]
    counts = charts.words_at(
        placed, charts.x_at_px(plot_px + _N_PX - 4), y, text="jobs", align="right",
        colour=theme.SOFT, size=theme.SMALL_TEXT_SIZE,
    )  # fmt: skip
    texts = [*_names(types, step), *_too_few(rows, frame), *counts]
    letters = int((name_px + plot_px + _N_PX) / theme.LETTER_PX / 1.1)
    title = f"{words.start_upper(frame['material'][0])}, {frame['rate_label'][0]}"
    return charts.layered(
        [*layers, *texts],
        plot_px,
        step * (len(types) - 0.5 - charts.HEAD_ROW),
        alt.TitleParams(charts.folded(title, letters).split("\n")),
    )


def _names(types: dict[str, str], step: float) -> Layers:
    places = [row - name.count("\n") * 8 / step for row, name in enumerate(types.values())]
    frame = pl.DataFrame({"label": list(types.values()), "row": places})
    return charts.words_at(
        frame, charts.x_at_px(-10), charts.row_axis(len(types), "row"), align="right", is_heavy=True
    )


def _too_few(rows: dict[str, float], frame: pl.DataFrame) -> Layers:
    known = set(frame["job_type"])
    places = [place for name, place in rows.items() if name not in known]
    if not places:
        return []
    return charts.words_at(
        pl.DataFrame({"label": ["too few jobs"] * len(places), "row": places}),
        charts.x_at_px(8), charts.row_axis(len(rows), "row"), colour=theme.SOFT,
        size=theme.SMALL_TEXT_SIZE,
    )  # fmt: skip


def _jobs(count: int) -> str:
    return words.counted(count, "job")


def _rate_axis(frame: pl.DataFrame, parts: int) -> Axis:
    label = frame["rate_label"][0]
    shown = frame.select("low_rate", "high_rate", "suggested_rate", "allowed_rate", "floor_rate")
    values = [value for row in shown.iter_rows() for value in row]
    return charts.round_axis(values, "", lambda value: words.rate(value, label), parts=parts)


def _levels(frame: pl.DataFrame, axis: Axis, count: int, plot_px: float) -> Layers:
    """Draw a level that all job types share as one line, levels that differ as a tick a row."""
    shared = {name: frame[name].drop_nulls().unique().to_list() for name in _LEVELS}
    layers: Layers = []
    for name, (colour, dash) in _LEVELS.items():
        if len(shared[name]) == 1:
            text = f"you allow {words.rate(shared[name][0], frame['rate_label'][0])}"
            layers += charts.line_through_rows(
                shared[name][0], text if dash else "", axis, count, plot_px,
                dash=dash, colour=colour,
            )  # fmt: skip
        elif shared[name]:
            ends = frame.drop_nulls(name)
            layers.append(
                charts.rules(
                    ends,
                    width=1.6,
                    colour=colour,
                    dash=dash,
                    x=charts.x_at(name, axis),
                    y=charts.row_axis(count, "from_row"),
                    y2=alt.Y2("to_row"),
                )
            )
    if len(shared["allowed_rate"]) == 1:
        return layers
    text = "broken: what you allow" if shared["allowed_rate"] else "no allowance stated"
    head = pl.DataFrame({"label": [text], "top": [charts.HEAD_ROW]})
    return layers + charts.words_at(
        head, charts.x_at_px(0), charts.row_axis(count, "top"), dy=-9, colour=theme.SOFT,
        size=theme.SMALL_TEXT_SIZE,
    )  # fmt: skip


_LEVELS: dict[str, tuple[str, tuple[int, ...]]] = {
    "floor_rate": (theme.RUST, ()),
    "allowed_rate": (theme.INK, (4, 3)),
}
"""Levels of a panel: colour, and dashes where the line is broken."""


def _marks(frame: pl.DataFrame, axis: Axis, count: int, step: float) -> Layers:
    half, y = 6 / step, charts.row_axis(count, "row")
    ends = frame.with_columns(up=pl.col("row") - half, down=pl.col("row") + half)
    y_up = charts.row_axis(count, "up")
    off = pl.col("is_off")
    rate = charts.x_at("suggested_rate", axis)
    tick = [
        charts.rules(
            ends, width=1.4, colour=theme.BLUE,
            x=charts.x_at(name, axis), y=y_up, y2=alt.Y2("down"),
        )
        for name in ("low_rate", "high_rate")
    ]  # fmt: skip
    bar = charts.rules(
        frame, width=5, colour=theme.PALE_BLUE,
        x=charts.x_at("low_rate", axis), x2=alt.X2("high_rate"), y=y,
    )  # fmt: skip
    return [
        bar,
        *tick,
        charts.dots(frame.filter(~off), rate, y, size=70, is_open=True),
        charts.dots(frame.filter(off), rate, y),
        *charts.words_at(
            frame.filter(off), rate, y, align="center", dy=-13, is_heavy=True,
            size=theme.SMALL_TEXT_SIZE,
        ),
    ]  # fmt: skip


def _list_allowances(frame: pl.DataFrame) -> Table:
    rows = [
        (
            f"{row['material']}, {row['job_type']}",
            _jobs(row["job_count"]),
            _rate(row, "allowed_rate", "not stated"),
            _rate(row, "suggested_rate", "too few jobs"),
            "" if row["low_rate"] is None or row["high_rate"] is None
            else f"{_rate(row, 'low_rate', '')} and {_rate(row, 'high_rate', '')}",
            _rate(row, "floor_rate", ""),
            row["rate_label"],
            "" if row["at_stake_gbp"] is None else words.pounds(row["at_stake_gbp"]),
            "off" if row["is_off"] else "",
        )
        for row in frame.iter_rows(named=True)
    ]  # fmt: skip
    heads = (
        "Allowance", "Jobs", "You allow", "A usual job uses", "Eight times in ten between",
        "Least a sound roof holds", "In", "At stake in a year", "",
    )  # fmt: skip
    caption = "What you allow and what the jobs used"
    return Table(caption, heads, tuple(rows), frozenset({1, 2, 3, 5, 7}))


def _rate(row: dict[str, Any], name: str, missing: str) -> str:
    return missing if row[name] is None else words.rate(row[name], row["rate_label"])
