"""Rows that still count though the newest version of their file tells them no more."""

from collections.abc import Iterator
from pathlib import Path

import polars as pl

from reports import words
from reports.page import Action, Frames, Section, Table
from reports.workbook import Workbook, write_row
from schemas.records import RECORDS

READS = ("page.row_gone",)

QUESTION = "Which rows are in no newest file?"
_SHEET = "withdrawn"
_AIDS = ("last told in", "left out by", "rows")
_WIDTHS = (16, 60, 14, 16, 30, 40, 30, 8)
_MOST_LINES = 12
_READ_ME = (
    "Rows no longer in the newest version of their file: still counted",
    "A later version of a file left these rows out. They count on, as a row left out may be",
    "one taken out, or one that stands in another file now.",
    "Where a row was wrong write the day on which it is taken back into withdrawn_on, and if you",
    "like by whom and why. A row left blank stays as it is, and is not asked about again.",
    "Save the workbook and drop it into the inbox; then run again.",
)
_ACTION = Action(
    "Take back what was wrong",
    "The workbook “rows no longer there” in rejects/ holds them. Fill withdrawn_on beside those "
    "that are wrong and drop it into the inbox. What you leave blank counts on.",
)


def ask_gone(frame: pl.DataFrame) -> Iterator[str]:
    """Return what to ask, a sentence a file that left rows out; `frame` is page.row_gone."""
    counts = frame.group_by("file_name", maintain_order=True).agg(pl.col("gone_count").sum())
    for name, count in counts.iter_rows():
        rows = words.start_upper(words.counted_in_words(count, "row"))
        are, them, wrong = ("is", "it", "it is") if count == 1 else ("are", "them", "they are")
        still = f"{rows} of {name} {are} no longer in its newest version: still counted"
        yield f"{still}; withdraw {them} if {wrong} wrong."


def make_sections(frames: Frames) -> tuple[Section, ...]:
    """Return the section of rows left out; none where there is none."""
    frame = frames["page.row_gone"]
    if frame.is_empty():
        return ()
    new, before = frame.filter("is_new"), frame.filter(~pl.col("is_new"))
    tables = tuple(
        _list_rows(rows, caption)
        for rows, caption in ((new, "Left out by the newest files"), (before, "Asked before"))
        if rows.height
    )
    return (Section(QUESTION, _find(new, before), None, (), tables, _ACTION, is_wide=True),)


def _find(new: pl.DataFrame, before: pl.DataFrame) -> str:
    if new.is_empty():
        count = words.counted_in_words(int(before["gone_count"].sum()), "row")
        return f"{words.start_upper(count)} asked about before still count."
    count = words.counted_in_words(int(new["gone_count"].sum()), "row")
    more = f"; {before.height} asked about before" if before.height else ""
    return f"{words.start_upper(count)} left out by the newest files still count{more}."


def _list_rows(frame: pl.DataFrame, caption: str) -> Table:
    rows = [
        (
            row["record"].replace("_", " "),
            row["key"],
            _told_in(row["told_in"], row["sheet"], row["row_no"]),
            f"{row['file_name']}, {words.short_day(row['gone_on'])}",
            f"{row['gone_count']:,}",
        )
        for row in frame.head(_MOST_LINES).iter_rows(named=True)
    ]
    more = frame.height - len(rows)
    caption += f"; {more:,} more in the workbook" if more else ""
    heads = ("Record", "Row", "Last told in", "Left out by", "Rows")
    return Table(caption, heads, tuple(rows), frozenset({4}))


def _told_in(file_name: str, sheet: str, row_no: int) -> str:
    where = f"{sheet}, row {row_no}" if sheet else f"row {row_no}"
    return f"{file_name}, {where}"


def write_gone_workbook(gone: pl.DataFrame, path: Path) -> Path:
    """
    Write withdrawals to fill in, a row a key of `gone` (page.row_gone), and return the path.

    A row whose day, name and reason stay blank is passed over. Same rows, same bytes.
    """
    heads = RECORDS[_SHEET].columns
    with Workbook(path) as book:
        book.add_read_me(_READ_ME)
        sheet = book.add_sheet(_SHEET, _WIDTHS)
        write_row(sheet, 0, [*heads, *_AIDS], book.head)
        sheet.freeze_panes(1, 0)
        for number, row in enumerate(gone.iter_rows(named=True), start=1):
            write_row(sheet, number, [row["record"], row["key"]], book.text)
            told = _told_in(row["told_in"], row["sheet"], row["row_no"])
            aids = [told, row["file_name"], f"{row['gone_count']}"]
            write_row(sheet, number, [*[None] * len(heads), *aids], book.soft)
    return path
