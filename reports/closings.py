"""Closed months: whether they still say what was printed, and what changed them."""

from decimal import Decimal
from typing import Any

import polars as pl

from reports import words
from reports.page import Frames, Section, Table

READS = ("page.closed_month", "page.restatement")

_QUESTION = "Did a closed month change?"
_MOST_LINES = 20


def make_section(frames: Frames) -> Section:
    """Return what closed months say now beside what was printed, and what changed them."""
    closed, lines = frames["page.closed_month"], frames["page.restatement"]
    if closed.is_empty():
        return Section(
            _QUESTION,
            "No month is closed yet. A row of the closings record keeps a month as printed.",
            is_printed=False,
        )
    tables = (_list_closed(closed), *([_list_lines(lines)] if lines.height else []))
    return Section(_QUESTION, _find(closed, lines), None, _notes(lines), tables, is_printed=False)


def say_restated(lines: pl.DataFrame) -> tuple[str, ...]:
    """Return a sentence for each closed month of which what was left changed; newest first."""
    return tuple(
        f"{_say_total(row)} when it was closed: {row['cause']}."
        for row in _totals(lines).iter_rows(named=True)
    )


def _say_total(row: dict[str, Any]) -> str:
    month = words.month(row["month_on"])
    if row["change_gbp"] is None:
        printed = words.pounds(row["as_closed_gbp"])
        return f"What {month} leaves is not known now, and {printed} was printed"
    return f"{month} leaves {words.signed_pounds(row['change_gbp'])} against what was printed"


def _totals(lines: pl.DataFrame) -> pl.DataFrame:
    return lines.filter(pl.col("job_ref").is_null() & (pl.col("figure") == "left"))


def _find(closed: pl.DataFrame, lines: pl.DataFrame) -> str:
    totals = _totals(lines)
    months = words.counted_in_words(closed.height, "closed month")
    if totals.is_empty() and lines.is_empty():
        stand = "stands" if closed.height == 1 else "stand"
        return f"{words.start_upper(months)} {stand} as printed."
    if totals.is_empty():
        return f"No total of {months} changed by enough to say; single jobs did."
    row = max(totals.iter_rows(named=True), key=lambda each: abs(each["change_gbp"] or 0))
    many = f"; {totals.height - 1} more changed" if totals.height > 1 else ""
    return f"{_say_total(row)}{many}."


def _notes(lines: pl.DataFrame) -> tuple[str, ...]:
    kept = "What was printed at a closing is kept"
    unsaid = "A change below £25 and 1 % is not said."
    if lines.is_empty():
        return (f"{kept}. {unsaid}",)
    return (f"{kept}. By rows: what came in after; by method: settings or program. {unsaid}",)


def _list_closed(frame: pl.DataFrame) -> Table:
    rows = [
        (
            words.month(row["month_on"]),
            words.short_day(row["closed_on"]),
            row["closed_by"] or "",
            _pounds(row["as_closed_gbp"]),
            "not known" if row["as_now_gbp"] is None else words.pounds(row["as_now_gbp"]),
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = ("Month", "Closed", "By", "Left, as printed", "Left, as it stands")
    return Table("Closed months", heads, tuple(rows), frozenset({3, 4}))


def _list_lines(frame: pl.DataFrame) -> Table:
    rows = [_line(row) for row in frame.head(_MOST_LINES).iter_rows(named=True)]
    more = frame.height - len(rows)
    caption = "What changed since" + (f"; {more:,} more not shown" if more else "")
    heads = (
        "Month", "Job", "Figure", "As printed", "Now", "Change", "By rows", "By method", "Why",
    )  # fmt: skip
    return Table(caption, heads, tuple(rows), frozenset(range(3, 8)))


def _line(row: dict[str, Any]) -> tuple[str, ...]:
    return (
        words.month(row["month_on"]),
        row["job_ref"] or "all",
        row["figure"],
        _pounds(row["as_closed_gbp"]),
        *_now(row),
        _part(row["records_gbp"]),
        _part(row["method_gbp"]),
        row["cause"],
    )


def _now(row: dict[str, Any]) -> tuple[str, str]:
    if row["change_gbp"] is None:
        return "not known", "not known"
    return _pounds(row["as_now_gbp"]), words.signed_pounds(row["change_gbp"])


def _pounds(gbp: Decimal | None) -> str:
    return "none" if gbp is None else words.pounds(gbp)


def _part(gbp: Decimal | None) -> str:
    return "not told apart" if gbp is None else words.signed_pounds(gbp)
