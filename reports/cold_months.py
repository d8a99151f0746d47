"""Whether cold months take more, where the firm says which months are cold."""

from typing import Any

import polars as pl

from reports import words
from reports.page import Frames, Section, Table

READS = ("page.cold_month",)

QUESTION = "Do cold months take more?"
_HOW_FOUND = (
    "Past jobs are loaded once with what cold jobs had taken more by then and once without. It is "
    "told only where that came clearly nearer to what they took. Allowances stay one figure for "
    "the whole year: nothing is added by itself, and the product data sheet says what may be laid "
    "at which temperature."
)


def make_section(frames: Frames) -> Section | None:
    """Return what the cold months take more; None where the firm names no cold months."""
    frame = frames["page.cold_month"]
    if frame.is_empty():
        return None
    heads = ("Material", "Cold jobs", "Warm jobs", "Cold beside warm", "Tried on", "In words")
    rows = tuple(map(_row, frame.iter_rows(named=True)))
    table = Table("Cold and warm months", heads, rows, frozenset({1, 2, 3, 4}))
    return Section(
        QUESTION,
        _find(frame.filter("is_told")),
        notes=(_HOW_FOUND,),
        folded=(table,),
        is_wide=True,
        is_printed=False,
    )


def _find(told: pl.DataFrame) -> str:
    if told.is_empty():
        return "There is no difference that the jobs can show."
    if told.height > 1:
        count = words.start_upper(words.counted_in_words(told.height, "material"))
        return f"{count} take more or less in cold months than in warm: look at each."
    row = told.row(0, named=True)
    more = "more" if row["cold_ratio"] >= 0 else "less"
    share = f"{abs(row['cold_ratio']):.0%}".removesuffix("%")
    name = words.start_upper(row["material"])
    return f"{name} takes about {share} in 100 of the need {more} in cold months than in warm."


def _row(row: dict[str, Any]) -> tuple[str, ...]:
    ratio = row["cold_ratio"]
    return (
        words.start_upper(row["material"]),
        str(row["cold_job_count"]),
        str(row["warm_job_count"]),
        "too few jobs" if ratio is None else f"{words.signed_percent(ratio)} of the need",
        words.counted(row["tried_job_count"], "job"),
        row["sentence"],
    )
