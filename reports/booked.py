"""What is booked, and what is on order for it."""

import re
from typing import Any

import polars as pl

from reports import sizes, words
from reports.page import Frames, Section, Table

READS_JOBS = ("page.booked_job", "page.booked_load", *sizes.READS)
READS_ORDERS = ("page.open_order",)

_MOST_JOBS = 15


def make_booked_section(frames: Frames) -> Section:
    """Return the booked jobs in the order of their days."""
    frame = frames["page.booked_job"].sort("planned_on", "job_ref", nulls_last=True)
    question = "What is booked?"
    if frame.is_empty():
        return Section(
            question,
            "No job is booked. A planned day on the jobs record puts it here and into the need.",
        )
    first = frame.row(0, named=True)
    count = words.start_upper(words.counted_in_words(frame.height, "job"))
    booked = words.is_or_are(frame.height)
    first_named = f"{first['job_ref']} {first['job_type']}"
    when = "" if first["planned_on"] is None else f" on {words.weekday(first['planned_on'])}"
    finding = f"{count} {booked} booked; the first is {first_named}{when}."
    rows = [
        (
            "no day yet" if row["planned_on"] is None else words.weekday(row["planned_on"]),
            f"{row['job_ref']} {row['job_type']}",
            "no area yet" if row["area_m2"] is None else words.quantity(row["area_m2"], "m2"),
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = ("Day", "Job", "Area")
    shown = tuple(rows[:_MOST_JOBS])
    table = Table("Booked jobs", heads, shown, frozenset({2}), is_counts=True)
    later = tuple(rows[_MOST_JOBS:])
    caption = f"The {words.counted(len(later), 'job')} after these"
    more = Table(caption, heads, later, frozenset({2}), is_counts=True)
    load = _list_load(frames["page.booked_load"])
    folded = (*((load,) if load.rows else ()), *((more,) if later else ()))
    notes = sizes.say_defaults(frames, frames["page.booked_load"]["material"])
    return Section(question, finding, notes=notes, tables=(table,), folded=folded)


def _list_load(frame: pl.DataFrame) -> Table:
    rows = [
        (
            f"{row['job_ref']} {row['job_type']}",
            "no day yet" if row["planned_on"] is None else words.short_day(row["planned_on"]),
            row["material"],
            "no plan" if row["problem"] else words.counted(row["lengths_count"], "length"),
            row["problem"] or _from_rack(row["rack_pieces_mm"]),
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = ("Job", "Day", "Trim", "New", "From the rack, in mm")
    return Table("Trim to load: new lengths, and pieces of the rack", heads, tuple(rows))


def _from_rack(pieces_mm: str | None) -> str:
    if pieces_mm is None:
        return "none"
    return re.sub(r"\b(\d)(\d{3})\b", rf"\1{words.NO_BREAK}\2", pieces_mm)


def _come(row: dict[str, Any]) -> str:
    come = words.quantity(row["received_packs"] or 0, "")
    return f"{come} of {words.counted(int(row['packs']), 'pack')}"


def make_order_section(frames: Frames) -> Section:
    """Return what was ordered and has not come."""
    frame = frames["page.open_order"].sort("ordered_on", "order_no", maintain_order=True)
    question = "What is on order?"
    if frame.is_empty():
        return Section(question, "No order is open on record.")
    count = words.start_upper(words.counted_in_words(frame.height, "order line"))
    rows = [
        (
            row["material"],
            row["supplier"],
            _come(row),
            words.short_day(row["ordered_on"]),
            "no day given" if row["due_on"] is None else words.weekday(row["due_on"]),
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = ("Material", "Supplier", "Come so far", "Ordered", "Due")
    table = Table("Open orders", heads, tuple(rows))
    return Section(question, f"{count} {words.is_or_are(frame.height)} open.", tables=(table,))
