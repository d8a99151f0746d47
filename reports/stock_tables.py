"""Tables of what the counts found, what was shared out, and where the stock lay."""

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

import polars as pl

from reports import words
from reports.page import Frames, Table

SHORT_WORDS = {
    "missing delivery note": "missing note",
    "lasting loss": "lasting loss",
    "miscount": "miscount",
    "doubtful card": "a card in doubt",
    "cannot say": "cannot say",
}
"""What a difference looks like, in short."""
_PACKS = {"trim": "length", "batten": "length", "firring": "length", "board": "board"}
_WHOLE = Decimal("0.05")


def say_packs(row: dict[str, Any]) -> str:
    """Return a difference of `page.count_test` in packs, by their kind: "12 lengths"."""
    count = row["pack_count"]
    if count is None:
        return ""
    whole = round(count)
    thing = _PACKS.get(row["kind"], "pack")
    if abs(count - whole) < _WHOLE:
        return words.counted(whole, thing)
    return f"{count:.1f}{words.NO_BREAK}{thing}s"


def say_kind(row: dict[str, Any]) -> str:
    """Return in short what a row of `page.count_test` looks like."""
    kind: str = row["signature"]
    return SHORT_WORDS.get(kind, kind)


def list_found(found: pl.DataFrame) -> Table:
    """Return what the counts of the last year found, of `page.count_test`."""
    rows = [
        (
            row["material"],
            words.day(row["to_on"]),
            words.signed_quantity(-row["difference_quantity"], row["base_unit"]),
            say_packs(row),
            "not known" if row["difference_gbp"] is None
            else words.signed_pounds(-row["difference_gbp"]),
            say_kind(row),
        )
        for row in found.iter_rows(named=True)
    ]  # fmt: skip
    heads = ("Material", "Counted", "Beside the papers", "In packs", "Worth", "Looks like")
    return Table("What the counts found", heads, tuple(rows), frozenset({2, 3, 4}))


def list_reasons(found: pl.DataFrame) -> Iterable[Table]:
    """Yield what points to each name, where anything was found."""
    rows = tuple(
        (row["material"], words.day(row["to_on"]), row["because"])
        for row in found.iter_rows(named=True)
    )
    if rows:
        yield Table("Why it looks so", ("Material", "Counted", "What points to it"), rows)


def list_months(months: pl.DataFrame) -> Table:
    """Return the months of `page.count_month`."""
    rows = tuple(
        (
            words.month(row["month_on"]),
            words.pounds(row["no_job_gbp"]),
            words.pounds(row["more_gbp"]),
            f"{row['span_count'] - row['not_tested_count']} of {row['span_count']}",
            "yes" if row["adds_up"] else "no",
        )
        for row in months.iter_rows(named=True)
    )
    heads = ("Month", "No job against it", "More than the papers", "Materials told", "Sums add up")
    return Table("Month by month", heads, rows, frozenset({1, 2, 3}))


def list_shared(frames: Frames) -> Iterable[Table]:
    """Yield what is shared out over the jobs and not measured, where there is any."""
    rows = tuple(
        (
            row["material"],
            words.quantity(row["shared_quantity"], row["base_unit"]),
            words.counted(row["job_count"], "job"),
            _ratio(row),
            row["note"] or row["label"],
        )
        for row in frames["page.shared_use"].iter_rows(named=True)
    )
    if rows:
        heads = ("Material", "Went in a year", "Over", "Used for 100 needed", "How known")
        yield Table("Shared out over the jobs, not measured", heads, rows, frozenset({1, 2, 3}))


def _ratio(row: dict[str, Any]) -> str:
    if row["use_ratio"] is None:
        return "not known"
    names = ("use_ratio", "low_ratio", "high_ratio")
    used, low, high = (f"{100 * (1 + row[name]):.0f}" for name in names)
    return f"{used}, between {low} and {high}"


def list_places(frames: Frames) -> Iterable[Table]:
    """Yield where each material lay when it was last counted, where anything was."""
    rows = tuple(
        (
            row["material"],
            row["place"],
            words.day(row["counted_on"]),
            words.quantity(row["quantity"], row["base_unit"]),
            "" if row["value_gbp"] is None else words.pounds(row["value_gbp"]),
        )
        for row in frames["page.place_as_counted"].iter_rows(named=True)
    )
    if rows:
        heads = ("Material", "Place", "Last counted", "Lay there", "Worth")
        yield Table("Where it lay when last counted", heads, rows, frozenset({3, 4}))


def list_credits(frames: Frames) -> Iterable[Table]:
    """Yield the credits that lower no delivery, where there are any."""
    rows = tuple(
        (
            f"{row['supplier']} {row['document_no']}",
            words.day(row["credited_on"]),
            row["material"] or "",
            words.exact_pounds(row["credit_gbp"]),
        )
        for row in frames["page.credit_apart"].iter_rows(named=True)
    )
    if rows:
        heads = ("Credit", "Dated", "Material", "Money back")
        yield Table("Credits that lower no delivery", heads, rows, frozenset({3}))
