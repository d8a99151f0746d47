"""How roofs were measured, how use goes with size, and what a make-up holds."""

from typing import Any

import altair as alt
import polars as pl

from reports import charts, theme, words
from reports.charts import Axis, Layers
from reports.page import Action, Drawing, Figure, Frames, Section, Table

READS_MEASURING = ("page.measuring",)
READS_SIZE = ("page.use_and_area", "page.use_by_size")
READS_LAY_UPS = ("page.lay_up",)
READS_ASIDE = ("page.set_aside",)

_BAND = 0.05
_LEAST_DOTS = 3
_MOST_LINES = 4
_FIGURES_PX = 62
_HEIGHT_PX = 190


def make_measuring_section(frames: Frames) -> Section:
    """Return the section that says whether roofs were as large as quoted."""
    frame = frames["page.measuring"]
    question = "Is the measuring right?"
    if frame.is_empty():
        return Section(
            question,
            "No roof was measured again, so we cannot say. The measured area on the jobs record "
            "would answer this.",
        )
    finding = _find_measuring(frame)
    if frame.height < _LEAST_DOTS:
        return Section(question, finding, tables=(_list_measuring(frame),))
    figure = Figure(
        f"{finding} Difference between measured and quoted area, by quoted area.",
        lambda canvas: _draw_measuring(frame, canvas),
        _list_measuring(frame),
    )
    note = (
        "Dot: a roof measured again. The band is five per cent of the quote either way; diamonds "
        "lie outside it. For roofs not measured again nothing is known."
    )
    return Section(question, finding, figure, (note,), action=_act_on_measuring(frame))


def _outside(frame: pl.DataFrame) -> pl.DataFrame:
    return frame.filter(pl.col("difference_ratio").abs() > _BAND)


def _find_measuring(frame: pl.DataFrame) -> str:
    larger = frame.filter(pl.col("difference_ratio") > _BAND).height
    smaller = frame.filter(pl.col("difference_ratio") < -_BAND).height
    count = words.counted_in_words(frame.height, "roof")
    five = f"5{words.NO_BREAK}%"
    if not larger and not smaller:
        return f"{words.start_upper(count)} measured again: all within {five} of the quote."
    parts = [
        f"{words.number_in_words(number)} {words.was_or_were(number)} more than {five} {word}"
        for number, word in ((larger, "larger"), (smaller, "smaller"))
        if number
    ]
    return f"Of {count} measured again, {words.listed(parts)} than quoted."


def _act_on_measuring(frame: pl.DataFrame) -> Action | None:
    types = _outside(frame)["job_type"].unique(maintain_order=True).to_list()
    if not types:
        return None
    names = words.listed([words.plural(name) for name in types[:3]])
    return Action(
        "Measure again before the order",
        f"Look at how {names} are measured: a cheek, an upstand or a lap left out of the drawing "
        "shows here before it shows in the material.",
    )


def _draw_measuring(frame: pl.DataFrame, canvas: theme.Canvas) -> Drawing:
    shown = charts.as_floats(frame)
    x_axis = charts.round_axis(
        shown["quoted_area_m2"], "Area in the quote, m²", _whole, from_zero=True
    )
    y_axis = charts.round_axis(
        [*shown["difference_ratio"], -2 * _BAND, 2 * _BAND], "", words.signed_percent
    )
    x, y = charts.x_at("quoted_area_m2", x_axis), _y_at("difference_ratio", y_axis)
    within, outside = shown.filter(pl.col("difference_ratio").abs() <= _BAND), _outside(shown)
    layers = [*_draw_band(y_axis), charts.dots(within, x, y, size=40, is_open=True)]
    if outside.height:
        layers.append(charts.dots(outside, x, y, size=60, colour=theme.RUST, shape="diamond"))
    return charts.layered(layers, canvas.width - _FIGURES_PX, canvas.high(_HEIGHT_PX))


def _whole(value: float) -> str:
    return f"{value:g}"


def _y_at(field: str, axis: Axis, *, has_grid: bool = False) -> alt.Y:
    drawn = axis.drawn(has_grid=has_grid, least_px=46)
    return alt.Y(f"{field}:Q", scale=axis.scale, axis=drawn)


def _draw_band(axis: Axis) -> Layers:
    frame = pl.DataFrame({"low": [-_BAND], "high": [_BAND], "label": [""], "zero": [0.0]})
    words_frame = pl.DataFrame(
        {"place": [_BAND, 0.0], "label": ["within 5 % of the quote", "as quoted"]}
    )
    edges = pl.DataFrame({"edge": [-_BAND, _BAND]})
    low = _y_at("low", axis)
    return [
        alt.Chart(frame).mark_rect(color=theme.BAND, opacity=1).encode(y=low, y2=alt.Y2("high")),
        charts.rules(edges, colour=theme.LINE, y=_y_at("edge", axis)),
        charts.rules(frame, dash=(4, 3), y=_y_at("zero", axis)),
        *charts.words_at(
            words_frame, charts.x_at_px(4), _y_at("place", axis), dy=-9, colour=theme.SOFT,
            size=theme.SMALL_TEXT_SIZE,
        ),
    ]  # fmt: skip


def _list_measuring(frame: pl.DataFrame) -> Table:
    by_difference = frame.sort("difference_ratio", descending=True, maintain_order=True)
    rows = [
        (
            f"{row['job_ref']} {row['job_type']}",
            words.quantity(row["quoted_area_m2"], "m2"),
            words.quantity(row["measured_area_m2"], "m2"),
            words.signed_percent(row["difference_ratio"]),
        )
        for row in by_difference.iter_rows(named=True)
    ]
    heads = ("Job", "Quoted", "Measured", "Difference, of the quote")
    return Table("Roofs measured again", heads, tuple(rows), frozenset({1, 2, 3}))


def make_size_section(frames: Frames) -> Section:
    """Return the section that lays use beside the size of the roof."""
    frame = frames["page.use_and_area"]
    question = "Do small roofs take more?"
    if frame.is_empty():
        return Section(
            question,
            "We cannot say yet: no finished job has both an area and the resin that it took.",
        )
    sizes = frames["page.use_by_size"].sort("size_no", maintain_order=True)
    finding = _find_size(frame, sizes)
    if frame.height < _LEAST_DOTS:
        return Section(question, finding, tables=(_list_size(frame),))
    figure = Figure(
        f"{finding} Resin for a square metre, by the area of the roof.",
        lambda canvas: _draw_size(frame, sizes, canvas),
        _list_size(frame),
    )
    lines = "" if sizes.is_empty() else " Lines: the small, middle and large third of the roofs."
    note = f"Open dot: a finished roof, kg of resin per m².{lines}"
    return Section(question, finding, figure, (note,))


def _find_size(frame: pl.DataFrame, sizes: pl.DataFrame) -> str:
    if sizes.height > 1:
        small, large = sizes.row(0, named=True), sizes.row(-1, named=True)
        return (
            f"Roofs up to {words.quantity(small['most_area_m2'], 'm2')} took "
            f"{words.rate_with_label(small['rate'], small['rate_label'])} of resin, roofs from "
            f"{words.quantity(large['least_area_m2'], 'm2')} took "
            f"{words.rate(large['rate'], large['rate_label'])}."
        )
    if frame.height == 1:
        return "One roof says what it took; nine are needed to compare sizes."
    return (
        f"{words.start_upper(words.counted_in_words(frame.height, 'roof'))} say what they took; "
        "nine are needed to compare sizes."
    )


def _draw_size(frame: pl.DataFrame, sizes: pl.DataFrame, canvas: theme.Canvas) -> Drawing:
    shown = charts.as_floats(frame)
    x_axis = charts.round_axis(shown["area_m2"], "Area of the roof, m²", _whole, from_zero=True)
    y_axis = charts.round_axis([*shown["rate"], *sizes["rate"]], "", lambda v: words.rate(v, ""))
    x, y = charts.x_at("area_m2", x_axis), _y_at("rate", y_axis, has_grid=True)
    layers = [charts.dots(shown, x, y, size=36, is_open=True), *_draw_thirds(sizes, x_axis, y_axis)]
    return charts.layered(layers, canvas.width - _FIGURES_PX, canvas.high(_HEIGHT_PX))


def _draw_thirds(sizes: pl.DataFrame, x_axis: Axis, y_axis: Axis) -> Layers:
    if sizes.is_empty():
        return []
    frame = charts.as_floats(sizes).with_columns(
        label=pl.Series([_with_unit(row) for row in sizes.iter_rows(named=True)])
    )
    start, height = charts.x_at("least_area_m2", x_axis), _y_at("rate", y_axis, has_grid=True)
    line = charts.rules(
        frame, width=2.4, colour=theme.BLUE, x=start, x2=alt.X2("most_area_m2"), y=height
    )
    return [line, *charts.words_at(frame, start, height, dy=-10, is_heavy=True)]


def _with_unit(row: dict[str, Any]) -> str:
    return words.rate(row["rate"], row["rate_label"])


def _list_size(frame: pl.DataFrame) -> Table:
    rows = [
        (
            f"{row['job_ref']} {row['job_type']}",
            words.quantity(row["area_m2"], "m2"),
            words.rate_with_label(row["rate"], "kg per m²"),
        )
        for row in frame.sort("area_m2", maintain_order=True).iter_rows(named=True)
    ]
    return Table("Resin by roof", ("Job", "Area", "Resin used"), tuple(rows), frozenset({1, 2}))


def make_lay_up_section(frames: Frames) -> Section:
    """Return what each make-up holds, below which no roof is sound."""
    frame = frames["page.lay_up"]
    question = "What does a sound roof hold?"
    if frame.is_empty():
        return Section(question, "No make-up of the roof is stated yet: the settings name them.")
    least = frame.sort("resin_kg_per_m2", maintain_order=True).row(0, named=True)
    finding = (
        f"The laminate alone holds {_resin(least)} of resin with {least['lay_up']}; laps, bandage "
        "and what the boards drink come on top."
    )
    rows = [
        (
            row["lay_up"],
            f"{row['glass_g_per_m2']:,}{words.NO_BREAK}g per m²",
            f"{words.of_hundred(row['glass_ratio']).lstrip('£')} of every 100{words.NO_BREAK}kg",
            _resin(row),
            f"{row['thickness_mm']:.1f}{words.NO_BREAK}mm",
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = ("Make-up", "Dry mat", "Mat in the laminate", "Resin it holds", "Thickness")
    table = Table("Make-up of the roofs", heads, tuple(rows), frozenset({1, 3, 4}))
    note = "The resin maker's data sheet goes before these figures."
    return Section(question, finding, None, (note,), (table,), is_printed=False)


def _resin(row: dict[str, Any]) -> str:
    return words.rate_with_label(row["resin_kg_per_m2"], "kg per m²")


def make_aside_section(frames: Frames) -> Section:
    """Return the job lines that were read and set aside from learning, each with its reason."""
    frame = frames["page.set_aside"]
    question = "What was set aside from learning?"
    if frame.is_empty():
        return Section(question, "Nothing was set aside.")
    rows = [
        (
            f"{row['job_ref']} {row['job_type']}",
            "" if row["completed_on"] is None else words.day(row["completed_on"]),
            row["material"],
            words.quantity(row["used_quantity"], row["base_unit"]),
            row["reason"],
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = ("Job", "Finished", "Material", "Used", "Why")
    caption = "Set aside: in the money and the stock, not in the allowances"
    rest = tuple(rows[_MOST_LINES:])
    others = f"The other {words.counted(len(rest), 'line')}"
    return Section(
        question,
        _find_aside(frame),
        tables=(Table(caption, heads, tuple(rows[:_MOST_LINES]), frozenset({3})),),
        is_wide=True,
        folded=(Table(others, heads, rest, frozenset({3})),) if rest else (),
    )


def _find_aside(frame: pl.DataFrame) -> str:
    count = words.start_upper(words.counted_in_words(frame.height, "line"))
    said = f"{count} {words.was_or_were(frame.height)} read and set aside from learning"
    by_material = frame.group_by("material", maintain_order=True).len()
    most = by_material.sort("len", descending=True, maintain_order=True).row(0, named=True)
    if most["len"] < frame.height:
        return f"{said}, {words.number_in_words(most['len'])} of them {most['material']}."
    return f"{said}, all {most['material']}." if frame.height > 1 else f"{said}."
