"""The jobs that are worth a question, the paper reason first."""

from decimal import Decimal
from typing import Any

import polars as pl

from reports import words
from reports.firm import Firm
from reports.page import Action, Frames, Section, Table

READS = ("page.job_to_ask_about",)

_WORTH_A_CALL_GBP = 10
"""A call takes two people a quarter of an hour: less money than that is not worth it."""


def worth_asking(frame: pl.DataFrame) -> pl.DataFrame:
    """Return the lines that are worth a call, most money first."""
    return frame.filter(pl.col("beyond_gbp") >= _WORTH_A_CALL_GBP).sort(
        "beyond_gbp", descending=True, maintain_order=True
    )


def make_question_section(frames: Frames, firm: Firm) -> Section:
    """Return the jobs that are worth a question, the paper reason first."""
    frame = worth_asking(frames["page.job_to_ask_about"])
    question = "Which jobs are worth a question?"
    if frame.is_empty():
        return Section(question, _no_question(firm))
    total = words.pounds(sum(frame["beyond_gbp"].to_list(), Decimal(0)))
    jobs = frame["job_ref"].n_unique()
    count = words.start_upper(words.counted_in_words(jobs, "job"))
    together = " together" if frame.height > 1 else ""
    finding = f"{count} used more than {_their(jobs)} can explain, {total}{together}."
    action = Action(
        "One call, five words",
        "Ask for the missing paper first. Hand in the return or the new measure, and the job "
        "leaves this list.",
    )
    note = (
        f"Only what lies £{_WORTH_A_CALL_GBP} or more beyond the usual range of its job type is "
        "listed. Nothing here names a person."
    )
    return Section(question, finding, None, (note,), (_list_questions(frame),), action)


def _their(count: int) -> str:
    return "its roof" if count == 1 else "their roofs"


def _no_question(firm: Firm) -> str:
    if not firm.has_issues:
        return "We cannot say yet: no job says what it took. Return cards would answer this."
    return f"No job used £{_WORTH_A_CALL_GBP} more than its roof can explain: no call is needed."


def _usual(row: dict[str, Any]) -> str:
    low, high = (
        words.quantity(row[name], row["base_unit"])
        for name in ("usual_low_quantity", "usual_high_quantity")
    )
    return f"{low} to {high}"


def _list_questions(frame: pl.DataFrame) -> Table:
    rows = [
        (
            f"{row['job_ref']} {row['job_type']}, {words.short_day(row['completed_on'])}",
            row["material"],
            words.pounds(row["beyond_gbp"]),
            words.quantity(row["used_quantity"], row["base_unit"]),
            _usual(row),
            row["ask"],
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = ("Job", "Material", "Beyond the usual", "Used", "Usual for such a roof", "Ask first")
    return Table(
        "Jobs outside the usual range, largest first", heads, tuple(rows), frozenset({2, 3})
    )
