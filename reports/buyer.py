"""The buyer's page: what the booked jobs need, dates, prices and orders."""

from typing import Any

import polars as pl

from reports import booked, dates, prices, stock_adds_up, store, words
from reports import firm as firms
from reports.page import Ask, Frames, Page

READS: tuple[str, ...] = (
    *firms.READS, *store.READS, *booked.READS_JOBS, *dates.READS,
    *prices.READS_PAID, *prices.READS_QUOTES, *booked.READS_ORDERS, *stock_adds_up.READS,
)  # fmt: skip

HEAD_READS: tuple[str, ...] = ("page.stock_as_counted", *dates.READS)
"""What the heading alone stands on."""

_MOST_ASKS = 3


def build(frames: Frames) -> Page:
    """Return the page; `frames` hold every relation of `READS`."""
    firm = firms.read_firm(frames)
    sections = (
        store.make_stock_section(frames, firm),
        booked.make_booked_section(frames),
        dates.make_date_section(frames, firm),
        prices.make_paid_section(frames),
        prices.make_quote_section(frames, firm),
        booked.make_order_section(frames),
        stock_adds_up.make_section(frames, firm),
    )
    beside = (words.weekday(firm.as_of), *_counted(frames), "Prices ex VAT")
    opening = "" if firm.has_counts else "Nothing has been counted yet: a count opens this page."
    return Page(
        "buyer", firm.title, beside, head(frames), opening, _asks(frames), sections,
        firms.read_trust(frames),
    )  # fmt: skip


def _counted(frames: Frames) -> tuple[str, ...]:
    days = frames["page.stock_as_counted"]["counted_on"].drop_nulls().to_list()
    return (f"Counted {words.short_day(max(days))}",) if days else ()


def head(frames: Frames) -> str:
    """Return the heading: how many materials are short, and how many dates are near."""
    short = store.short_of(frames["page.stock_as_counted"]).height
    near = frames["page.stock_date"].filter(pl.col("days_left") <= dates.SOON_DAYS).height
    parts = []
    if short:
        day = store.first_short_on(frames["page.stock_as_counted"])
        first = "" if day is None else f", the first on {words.weekday(day)}"
        parts.append(
            f"{words.counted_in_words(short, 'material')} short for the booked jobs{first}"
        )
    if near:
        parts.append(f"{words.counted_in_words(near, 'date')} near or past")
    if parts:
        return words.start_upper("; ".join(parts))
    if frames["page.stock_as_counted"].is_empty():
        return "Nothing counted yet"
    return "Nothing short, no date near"


def _asks(frames: Frames) -> tuple[Ask, ...]:
    short = store.short_of(frames["page.stock_as_counted"])
    ordered = store.on_order(frames)
    asks = [
        Ask(_order(row, is_ordered=row["material"] in ordered), ("Question 1", "#q1"))
        for row in _soonest_and_dearest(short)
    ]
    near = frames["page.stock_date"].sort("expires_on", maintain_order=True)
    asks += [
        Ask(
            f"{'Set aside' if row['days_left'] < 0 else 'Use first'}: "
            f"{words.quantity(row['quantity'], row['base_unit'])} of {row['material']}, "
            f"dated {words.short_day(row['expires_on'])}.",
            ("Question 3", "#q3"),
        )
        for row in near.filter(pl.col("days_left") <= dates.SOON_DAYS).iter_rows(named=True)
    ]
    return tuple(asks[:_MOST_ASKS])


def _soonest_and_dearest(short: pl.DataFrame) -> list[dict[str, Any]]:
    """Return the material that runs short first and the one of most money short."""
    dearest = short.sort("short_gbp", descending=True, nulls_last=True, maintain_order=True)
    both = pl.concat([short.head(1), dearest.head(1)])
    return both.unique("material", maintain_order=True).to_dicts()


def _order(row: dict[str, Any], *, is_ordered: bool) -> str:
    lack = words.amount(row["short_quantity"], row["base_unit"])
    day = row["short_on"]
    when = "" if day is None else f", the first on {words.weekday(day)}"
    do = "See that the order covers" if is_ordered else "Order"
    return f"{do} {row['material']}: the booked jobs are {lack} short{when}."
