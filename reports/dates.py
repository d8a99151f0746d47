"""The dates of what lies in the store, lot by lot."""

from datetime import date, timedelta
from typing import Any

import polars as pl

from reports import charts, theme, words
from reports.charts import Axis
from reports.firm import Firm
from reports.page import Action, Drawing, Figure, Frames, Section, Table
from reports.rows import RowChart

READS = ("page.stock_date",)

SOON_DAYS = 60
_FAR_DAYS = 330
_MOST_LOTS = 8
_PAST_DATE = (
    "A tin past its date is not usable stock: ask the maker, or dispose of it as the label says."
)


def make_date_section(frames: Frames, firm: Firm) -> Section:
    """Return the section that says what will pass its date."""
    frame = frames["page.stock_date"].sort("expires_on", "material", maintain_order=True)
    question = "Will anything pass its date?"
    if frame.is_empty():
        return Section(
            question,
            "No lot in stock has a date on record. Note the tin's date at the next count.",
        )
    finding = _find_dates(frame)
    figure = Figure(
        f"{finding} Days from today to the date of each lot.",
        lambda canvas: _draw_dates(frame.head(_MOST_LOTS), firm.as_of, canvas),
        _list_dates(frame),
    )
    more = frame.height - _MOST_LOTS
    rest = f" {words.start_upper(words.counted_in_words(more, 'later lot'))}: see the table."
    note = (
        "Line: from today to the date on the tin; upright tick: that date. Diamond: past it. What "
        "went since the count is taken from the nearest date first; places are as last counted."
        f"{rest if more > 0 else ''} {_PAST_DATE}"
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
    rows = frame.to_dicts()
    lots = tuple("" if row["lot"] is None else f"lot {row['lot']}" for row in rows)
    texts = tuple(
        f"{words.quantity(row['quantity'], row['base_unit'])}, {row['places']}" for row in rows
    )
    both = tuple(", ".join(filter(None, each)) for each in zip(lots, texts, strict=True))
    columns = (both,) if canvas.is_narrow else (lots, texts)
    chart = RowChart(canvas, axis, tuple(frame["material"]), columns)
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
            f"{row['places']}, {words.short_day(row['counted_on'])}",
            words.quantity(row["quantity"], row["base_unit"]),
            words.day(row["expires_on"]),
            f"{-row['days_left']} days ago" if row["days_left"] < 0
            else words.counted(row["days_left"], "day"),
        )
        for row in frame.iter_rows(named=True)
    ]  # fmt: skip
    heads = ("Lot", "Places, as last counted", "Should be left", "Date", "Days")
    return Table("Lots with a date", heads, tuple(rows), frozenset({2, 4}))
