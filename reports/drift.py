"""Materials whose use has been creeping up or going down, for the estimator and the start page."""

from reports import words
from reports.page import Ask, Frames, Section, Table

READS = ("page.drift",)

_QUESTION = "Is any use creeping up or going down?"
_HOW_FOUND = (
    "Each job of the last two years is held against the jobs before it. What is more or less job "
    "after job adds up; one wild job does not. No allowance changes by itself."
)


def make_section(frames: Frames) -> Section:
    """Return what has been moving, since when, by how much, and what was made of it."""
    frame = frames["page.drift"]
    if frame.is_empty():
        return Section(_QUESTION, "Nothing that lasts: no material moves job after job.")
    first = frame.row(0, named=True)
    moved = "creeping up" if first["is_rising"] else "going down"
    finding = (
        f"{words.start_upper(first['material'])} use has been {moved} since "
        f"{words.month(first['since_month'])}."
    )
    rows = [
        (
            words.start_upper(row["material"]),
            words.month(row["since_month"]),
            words.day(row["signal_on"]),
            "older jobs count a tenth" if row["is_acted_on"] else "to look at",
            row["sentence"],
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = ("Material", "Since", "Plain on", "Done", "In words")
    table = Table("Use that moves job after job", heads, tuple(rows))
    return Section(_QUESTION, finding, None, (_HOW_FOUND,), (table,), is_wide=True)


def list_asks(frames: Frames) -> list[Ask]:
    """Return what was found lately as things to do now."""
    return [
        Ask(row["sentence"], ("The estimator's page", "estimator.html"))
        for row in frames["page.drift"].filter("is_lately").iter_rows(named=True)
    ]
