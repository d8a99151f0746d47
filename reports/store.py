"""What lies in the store beside what the booked jobs need."""

from collections.abc import Iterable
from datetime import date
from typing import Any

import polars as pl

from reports import charts, theme, words
from reports.charts import Axis
from reports.firm import Firm
from reports.page import Action, Drawing, Figure, Frames, Section, Table
from reports.rows import RowChart

READS = ("page.stock_as_counted", "page.booked_job", "page.open_order")

_CAP = 2.0
_GAP, _STUB = 0.05, 0.08
"""A bar that goes on past the cap is broken there: a gap and a stub, in shares of the need."""
_MOST_ROWS = 10
_MOST_NAMED = 3
_APART = (
    "Catalyst is a peroxide: keep it apart from resin, solvent and rags, cool and in its own "
    "place, and no more of the flammable goods than the store is set up for. The safety data "
    "sheets go before this page."
)


def short_of(frame: pl.DataFrame) -> pl.DataFrame:
    """Return the materials of which the booked jobs are short, the first to run short first."""
    return frame.filter(pl.col("short_quantity") > 0)


def first_short_on(frame: pl.DataFrame) -> date | None:
    """Return the day of the first booked job that lacks a material, where a day is known."""
    days: list[date] = short_of(frame)["short_on"].drop_nulls().to_list()
    return min(days, default=None)


def booked_until(frames: Frames) -> date | None:
    """Return the day of the last booked job, where a day is known."""
    days: list[date] = frames["page.booked_job"]["planned_on"].drop_nulls().to_list()
    return max(days, default=None)


def on_order(frames: Frames) -> set[str]:
    """Return the materials of which an order is open."""
    return set(frames["page.open_order"]["material"])


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
    needed = frame.filter(pl.col("to_come_quantity") > 0)
    finding = _find_stock(frame, needed, firm, booked_until(frames))
    figure = None if needed.is_empty() else Figure(
        f"{finding} What should be there, in per cent of what the booked jobs need.",
        lambda canvas: _draw_stock(needed.head(_MOST_ROWS), canvas),
        _list_stock(frame),
    )  # fmt: skip
    tables = () if figure else (_list_stock(frame),)
    notes = (*((_read_stock(needed),) if figure else ()), *_doubt(frame), _APART)
    return Section(question, finding, figure, notes, tables, _act_on_stock(frame, on_order(frames)))


def _read_stock(needed: pl.DataFrame) -> str:
    more = needed.height - _MOST_ROWS
    rest = f" {words.start_upper(words.counted_in_words(more, 'more material'))}: see the table."
    return (
        "Bar: counted, with what came and went since by the papers, in per cent of what the booked "
        "jobs still need; broken at its end: it goes on past twice the need. Diamond: short. Open "
        f"orders are not in it.{rest if more > 0 else ''}"
    )


def _doubt(frame: pl.DataFrame) -> Iterable[str]:
    below = frame.filter(pl.col("expected_quantity") < 0)["material"].to_list()
    if below:
        yield (
            f"By the papers less than nothing is there of {words.listed(below)}: a delivery note "
            "is missing, or a card is too high. Count it."
        )
    past = frame.filter(pl.col("past_date_quantity") > 0).to_dicts()
    if past:
        lots = [
            f"{words.amount(row['past_date_quantity'], row['base_unit'])} of {row['material']}"
            for row in past
        ]
        yield f"In it, past the date on the tin: {words.listed(lots)}."


def _find_stock(
    frame: pl.DataFrame, needed: pl.DataFrame, firm: Firm, until: date | None
) -> str:  # fmt: skip
    if needed.is_empty():
        jobs = words.counted_in_words(firm.booked_job_count, "job")
        material = words.counted_in_words(frame.height, "material")
        return f"{words.start_upper(jobs)} booked; {material} counted, none of them asked for yet."
    short = short_of(needed)
    if short.is_empty():
        return (
            "What should be there by the last count and the papers is enough for the booked jobs."
        )
    day = first_short_on(short)
    if day is None:
        named = [_short(row) for row in short.head(_MOST_NAMED).iter_rows(named=True)]
        more = short.height - _MOST_NAMED
        rest = f", and {words.counted(more, 'more material')}" if more > 0 else ""
        return f"The booked jobs are short of {words.listed(named)}{rest}."
    names = short.filter(pl.col("short_on") == day)["material"].to_list()
    few = len(names) < _MOST_NAMED
    first = words.listed(names) if few else words.counted_in_words(len(names), "material")
    runs = "runs" if len(names) == 1 else "run"
    start = f"{words.start_upper(first)} {runs} short first, on {words.weekday(day)}"
    if len(names) == short.height:
        return f"{start}."
    end = "" if until is None else f" up to {words.short_day(until)}"
    count = words.counted_in_words(short.height, "material")
    return f"{start}; {count} are short for the booked jobs{end}."


def _short(row: dict[str, Any]) -> str:
    return f"{words.amount(row['short_quantity'], row['base_unit'])} of {row['material']}"


def _act_on_stock(frame: pl.DataFrame, ordered: set[str]) -> Action | None:
    short = short_of(frame)
    if short.is_empty():
        return None
    coming = [name for name in short["material"] if name in ordered]
    told = f" On order already: {words.listed(coming)}." if coming else ""
    return Action(
        "Count, then order",
        "Count the short materials first: a count of today is worth more than this sum. Then order "
        f"whole packs for the booked jobs, not more.{told}",
        ("The booked jobs", "#q2"),
    )


def _draw_stock(frame: pl.DataFrame, canvas: theme.Canvas) -> Drawing:
    there = pl.max_horizontal("expected_quantity", 0.0)
    shown = charts.as_floats(frame).with_columns(
        share=pl.min_horizontal(there / pl.col("to_come_quantity"), pl.lit(_CAP)),
        goes_on=there / pl.col("to_come_quantity") > _CAP,
        nothing=0.0,
        stub_from=pl.lit(_CAP + _GAP),
        stub_to=pl.lit(_CAP + _GAP + _STUB),
    )
    values = (0.0, 0.5, 1.0, 1.5, 2.0)
    names = tuple(f"{value:.0%}".replace("%", f"{words.NO_BREAK}%") for value in values)
    axis = Axis(0, _CAP + 2 * _GAP + _STUB, values, names, "% of what the booked jobs still need")
    texts = tuple(_there(row) for row in frame.iter_rows(named=True))
    days = tuple(_short_from(row) for row in frame.iter_rows(named=True))
    both = tuple(", ".join(filter(None, each)) for each in zip(texts, days, strict=True))
    columns, heads = ((both,), ()) if canvas.is_narrow else ((texts, days), _STOCK_HEADS)
    chart = RowChart(canvas, axis, tuple(frame["material"]), columns, heads)
    placed = chart.place(shown)
    short = placed.filter(pl.col("short_quantity") > 0)
    return chart.finish(
        [
            chart.bars(placed, "nothing", "share"),
            chart.bars(placed.filter("goes_on"), "stub_from", "stub_to"),
            *chart.line_at(1, "enough"),
            chart.dots(short, "share", size=110, colour=theme.RUST, shape="diamond"),
        ]
    )


_STOCK_HEADS = ("there of needed", "short from")


def _there(row: dict[str, Any]) -> str:
    there, needed = row["expected_quantity"], row["to_come_quantity"]
    return words.from_to(there, needed, row["base_unit"]).replace("→", "of")


def _short_from(row: dict[str, Any]) -> str:
    if not row["short_quantity"]:
        return ""
    return "no day yet" if row["short_on"] is None else words.short_day(row["short_on"])


def _list_stock(frame: pl.DataFrame) -> Table:
    rows = [
        (
            row["material"],
            words.quantity(row["quantity"], row["base_unit"]),
            words.short_day(row["counted_on"]),
            words.signed_quantity(row["since_quantity"], row["base_unit"]),
            words.quantity(row["expected_quantity"], row["base_unit"]),
            _quantity(row, "to_come_quantity"),
            _quantity(row, "short_quantity"),
            _short_from(row),
            "" if row["value_gbp"] is None else words.pounds(row["value_gbp"]),
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = (
        "Material", "Counted", "On", "Since then", "Should be there", "Booked jobs still need",
        "Short", "Short from", "Counted stock's worth",
    )  # fmt: skip
    return Table("The store by count and papers", heads, tuple(rows), frozenset({1, 3, 4, 5, 6, 8}))


def _quantity(row: dict[str, Any], name: str) -> str:
    return "" if not row[name] else words.quantity(row[name], row["base_unit"])
