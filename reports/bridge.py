"""Whether what lay in stock, came and went is what is left, month by month in pounds."""

from decimal import Decimal
from typing import Any

import polars as pl

from reports import words
from reports.page import Frames, Table

READS = ("page.month_bridge",)

_CAME = (
    ("opening_gbp", "In stock at the start"),
    ("first_count_gbp", "Counted for the first time"),
    ("goods_gbp", "Bought, less credits"),
    ("delivery_gbp", "Delivery and discounts on it"),
    ("outside_gbp", "Used, and on no paper that it came"),
    ("found_gbp", "Found by a count"),
)
_WENT = (
    ("jobs_gbp", "On jobs"),
    ("not_booked_gbp", "Gone where jobs do not say what they took"),
    ("losses_gbp", "Lost, and written down"),
    ("scrapped_gbp", "Cleared from the rack"),
    ("returned_gbp", "Sent back"),
    ("missing_gbp", "Missing by a count"),
    ("not_in_stock_gbp", "Bought, and in the first count already"),
    ("closing_gbp", "In stock at the end"),
)
_ALWAYS = {"opening_gbp", "goods_gbp", "delivery_gbp", "jobs_gbp", "missing_gbp", "closing_gbp"}
"""Shown even where nothing stands there; the others only where something does."""
_BESIDE = (("own_line_gbp", "Paid besides, in no stock"),)


def note_prices(frames: Frames) -> tuple[str, ...]:
    """Say what the pounds of the months are, and which materials are not in them."""
    frame = frames["page.month_bridge"]
    if frame.is_empty():
        return ()
    said = (
        "Pounds at what the very tins cost, first in first out; pieces on the rack at what they "
        "brought there. A count corrects the stock from its day on, and no job before it."
    )
    unpriced = frame["unpriced_materials"][-1]
    return (f"{said} Without a price, and not in it: {unpriced}." if unpriced else said,)


def list_terms(frames: Frames) -> tuple[Table, ...]:
    """Return what came into the stock and what went, to the penny, over the last months."""
    frame = frames["page.month_bridge"]
    return () if frame.is_empty() else (_list_terms(frame),)


def _list_terms(frame: pl.DataFrame) -> Table:
    months = frame.to_dicts()
    heads = ("Pounds", *(words.month(month["month_on"]) for month in months))
    rows = (
        *_rows(months, _CAME),
        _sum("Together", months, _CAME),
        *_rows(months, _WENT),
        _sum("Together", months, _WENT),
        *_rows(months, _BESIDE),
    )
    return Table("Stock, month by month", heads, rows, frozenset(range(1, len(heads))))


def _rows(
    months: list[dict[str, Any]], terms: tuple[tuple[str, str], ...]
) -> list[tuple[str, ...]]:
    return [
        (said, *(_pennies(month[name]) for month in months))
        for name, said in terms
        if name in _ALWAYS or any(month[name] for month in months)
    ]


def _sum(
    said: str, months: list[dict[str, Any]], terms: tuple[tuple[str, str], ...]
) -> tuple[str, ...]:
    sums = (sum((month[name] for name, _ in terms), Decimal(0)) for month in months)
    return (said, *map(_pennies, sums))


def _pennies(value: Decimal) -> str:
    return words.exact_pounds(value, 2)
