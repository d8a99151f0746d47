"""What lies in the store beside what the booked jobs need, and its dates."""

from datetime import date, timedelta
from typing import Any

import polars as pl

from reports import charts, theme, words
from reports.charts import Axis
from reports.firm import Firm
from reports.page import Action, Drawing, Figure, Frames, Section, Table
from reports.rows import RowChart

READS_STOCK = ("page.stock_as_counted",)
READS_DATES = ("page.stock_date",)

SOON_DAYS = 60
_FAR_DAYS = 330
_CAP = 2.0
_APART = (
    "Catalyst is a peroxide: keep it apart from resin, solvent and rags, cool and in its own "
    "place, and no more of the flammable goods than the store is set up for. The safety data "
    "sheets go before this page."
)
_PAST_DATE = (
    "A tin past its date is not usable stock: ask the maker, or dispose of it as the label says."
)


def short_of(frame: pl.DataFrame) -> pl.DataFrame:
    """Return the materials of which the booked jobs are short."""
    return frame.filter(pl.col("short_quantity") > 0)


def make_stock_section(frames: Frames, firm: Firm) -> Section:
    """Return the section that lays what is there beside what the booked jobs need."""
    frame = frames["page.stock_as_counted"]
    question = "Is there enough for the booked jobs?"
    if frame.is_empty():
        return Section(
            question,
            "We cannot say yet: nothing has been counted. The stock counts record, even of resin "
            "and trims alone, would answer this.",
            notes=(_APART,),
        )
    needed = frame.filter(pl.col("booked_quantity") > 0)
    finding = _find_stock(frame, needed, firm)
    figure = None if needed.is_empty() else Figure(
        f"{finding} What is there, in per cent of what the booked jobs need.",
        lambda canvas: _draw_stock(needed, canvas),
        _list_stock(frame),
    )  # fmt: skip
    tables = () if figure else (_list_stock(frame),)
    note = (
        "Bar: counted, with what was bought since, in per cent of what the booked jobs are "
        "allowed; it ends at twice the need. Diamond: short. What went out since the count is "
        "not taken off."
    )
    notes = (note, _APART) if figure else (_APART,)
    return Section(question, finding, figure, notes, tables, _act_on_stock(frame))


def _find_stock(frame: pl.DataFrame, needed: pl.DataFrame, firm: Firm) -> str:
    if needed.is_empty():
        jobs = words.counted_in_words(firm.booked_job_count, "job")
        material = words.counted_in_words(frame.height, "material")
        return f"{words.start_upper(jobs)} booked; {material} counted, none of them asked for yet."
    short = short_of(needed)
    if short.is_empty():
        return "What was counted and bought since is enough for the booked jobs."
    named = [_short(row) for row in short.head(3).iter_rows(named=True)]
    more = f", and {short.height - 3} more materials" if short.height > 3 else ""  # noqa: PLR2004
    return f"The booked jobs are short of {words.listed(named)}{more}."


def _short(row: dict[str, Any]) -> str:
    return f"{words.quantity(row['short_quantity'], row['base_unit'])} of {row['material']}"


def _act_on_stock(frame: pl.DataFrame) -> Action | None:
    if short_of(frame).is_empty():
        return None
    return Action(
        "Count, then order",
        "Count the short materials first: a count of today is worth more than this sum. Then order "
        "whole packs for the booked jobs, not more.",
        ("The booked jobs", "#q2"),
    )


def _draw_stock(frame: pl.DataFrame, canvas: theme.Canvas) -> Drawing:
    there = pl.col("quantity") + pl.col("bought_since_quantity").fill_null(0)
    shown = charts.as_floats(frame).with_columns(
        share=pl.min_horizontal(there / pl.col("booked_quantity"), pl.lit(_CAP)), nothing=0.0
    )
    values = (0.0, 0.5, 1.0, 1.5, 2.0)
    names = tuple(f"{value:.0%}".replace("%", f"{words.NO_BREAK}%") for value in values)
    axis = Axis(0, _CAP, values, names, "% of what the booked jobs are allowed")
    texts = tuple(_there(row) for row in frame.iter_rows(named=True))
    chart = RowChart(canvas, axis, tuple(frame["material"]), (texts,))
    placed = chart.place(shown)
    short = placed.filter(pl.col("short_quantity") > 0)
    return chart.finish(
        [
            chart.bars(placed, "nothing", "share"),
            *chart.line_at(1, "enough"),
            chart.dots(short, "share", size=110, colour=theme.RUST, shape="diamond"),
        ]
    )


def _there(row: dict[str, Any]) -> str:
    there = row["quantity"] + (row["bought_since_quantity"] or 0)
    unit = row["base_unit"]
    number = words.quantity(there, unit).split(words.NO_BREAK, maxsplit=1)[0]
    return f"{number} of {words.quantity(row['booked_quantity'], unit)}"


def _list_stock(frame: pl.DataFrame) -> Table:
    rows = [
        (
            row["material"],
            words.quantity(row["quantity"], row["base_unit"]),
            words.short_day(row["counted_on"]),
            _quantity(row, "bought_since_quantity"),
            _quantity(row, "booked_quantity"),
            _quantity(row, "short_quantity"),
            "" if row["value_gbp"] is None else words.pounds(row["value_gbp"]),
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = ("Material", "Counted", "On", "Bought since", "Booked jobs need", "Short", "Worth")
    return Table("The store as counted", heads, tuple(rows), frozenset({1, 3, 4, 5, 6}))


def _quantity(row: dict[str, Any], name: str) -> str:
    return "" if not row[name] else words.quantity(row[name], row["base_unit"])


def make_date_section(frames: Frames, firm: Firm) -> Section:
    """Return the section that says what will pass its date."""
    frame = frames["page.stock_date"].sort("expires_on", "material", maintain_order=True)
    question = "Will anything pass its date?"
    if frame.is_empty():
        return Section(
            question,
            "No counted lot has a date on record. Note the tin's date at the next count.",
        )
    finding = _find_dates(frame)
    figure = Figure(
        f"{finding} Days from today to the date of each counted lot.",
        lambda canvas: _draw_dates(frame, firm.as_of, canvas),
        _list_dates(frame),
    )
    note = (
        "Line: from today to the date on the tin; upright tick: that date. Diamond: past it. "
        + _PAST_DATE
    )
    return Section(question, finding, figure, (note,), action=_act_on_dates(frame))


def _find_dates(frame: pl.DataFrame) -> str:
    past = frame.filter(pl.col("days_left") < 0)
    if past.height:
        row = past.row(0, named=True)
        more = f", and {past.height - 1} more" if past.height > 1 else ""
        return f"{_lot(row)} passed its date on {words.short_day(row['expires_on'])}{more}."
    row = frame.row(0, named=True)
    if row["days_left"] > SOON_DAYS:
        return f"Nothing passes its date before {words.day(row['expires_on'])}."
    return f"{_lot(row)} passes its date on {words.weekday(row['expires_on'])}."


def _lot(row: dict[str, Any]) -> str:
    return f"{words.quantity(row['quantity'], row['base_unit'])} of {row['material']}"


def _act_on_dates(frame: pl.DataFrame) -> Action | None:
    soon = frame.filter(pl.col("days_left").is_between(0, SOON_DAYS))
    if soon.is_empty():
        return None
    return Action(
        "Use the near date first",
        f"{_lot(soon.row(0, named=True))} comes first. Buy no more of it.",
    )


def _draw_dates(frame: pl.DataFrame, today: date, canvas: theme.Canvas) -> Drawing:
    shown = charts.as_floats(frame).with_columns(
        pl.col("days_left").cast(pl.Float64), nothing=pl.lit(0.0)
    )
    axis = _day_axis(shown["days_left"].to_list(), today, 3 if canvas.is_narrow else 4)
    texts = tuple(
        f"{words.quantity(row['quantity'], row['base_unit'])}, {row['place']}"
        for row in frame.iter_rows(named=True)
    )
    names = tuple(_lot_name(row) for row in frame.iter_rows(named=True))
    chart = RowChart(canvas, axis, names, (texts,))
    placed = chart.place(shown)
    past, ahead = placed.filter(pl.col("days_left") < 0), placed.filter(pl.col("days_left") >= 0)
    return chart.finish(
        [
            *chart.line_at(0, "today"),
            chart.spans(placed, "nothing", "days_left", width=1.4),
            chart.ticks(ahead, "days_left", width=2.4, colour=theme.INK),
            chart.dots(past, "days_left", size=90, colour=theme.RUST, shape="diamond"),
        ]
    )


def _lot_name(row: dict[str, Any]) -> str:
    return row["material"] if row["lot"] is None else f"{row['material']}, lot {row['lot']}"


def _day_axis(days: list[float], today: date, parts: int) -> Axis:
    low, high = min([0.0, *days]), max([30.0, *days])
    firsts = [
        day
        for day in (today + timedelta(n) for n in range(int(low), int(high) + 1))
        if day.day == 1
    ]
    step = -(-len(firsts) // parts) or 1
    kept = firsts[::step]
    values = tuple(float((day - today).days) for day in kept)
    names = tuple(_first_of(day, is_far=high > _FAR_DAYS) for day in kept)
    room = (high - low) * 0.03
    return Axis(low - room, high + room, values, names, "Date on the tin")


def _first_of(day: date, *, is_far: bool) -> str:
    if is_far:
        return f"{words.short_month(day)}{words.NO_BREAK}{day.year}"
    return f"1{words.NO_BREAK}{words.short_month(day)}"


def _list_dates(frame: pl.DataFrame) -> Table:
    rows = [
        (
            _lot_name(row),
            row["place"],
            words.quantity(row["quantity"], row["base_unit"]),
            words.day(row["expires_on"]),
            f"{-row['days_left']} days ago" if row["days_left"] < 0
            else words.counted(row["days_left"], "day"),
        )
        for row in frame.iter_rows(named=True)
    ]  # fmt: skip
    heads = ("Lot", "Place", "Counted", "Date", "Left")
    return Table("Counted lots with a date", heads, tuple(rows), frozenset({2, 4}))
