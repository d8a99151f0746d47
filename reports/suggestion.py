"""Suggested changes of what is allowed, each with its sentence; nothing changes by itself."""

from typing import Any

import polars as pl

from reports import words
from reports.page import Action, Frames, Section, Table

READS = ("page.suggestion",)


def offers_of(frame: pl.DataFrame) -> pl.DataFrame:
    """Return the suggestions that are made, most money at stake first."""
    return frame.filter(pl.col("is_offered")).sort(
        "at_stake_gbp", descending=True, nulls_last=True, maintain_order=True
    )


def make_section(frames: Frames) -> Section:
    """Return the suggested changes with their sentences, and what decides nothing by itself."""
    frame = frames["page.suggestion"]
    question = "What would the changes mean?"
    offered = offers_of(frame)
    if offered.is_empty():
        return Section(question, _nothing_offered(frame), tables=_tables(frame, offered))
    count = words.start_upper(words.counted_in_words(offered.height, "change"))
    first = offered.row(0, named=True)
    finding = (
        f"{count} {words.is_or_are(offered.height)} suggested; the largest is "
        f"{first['material']} for {words.plural(first['job_type'])}."
    )
    action = Action(
        "You decide",
        "Nothing changes by itself. Hand in a decisions record: accept, keep as it is, or set "
        "your own figure. The next estimate uses it from that day.",
    )
    return Section(question, finding, None, (), _tables(frame, offered), action, is_wide=True)


def _nothing_offered(frame: pl.DataFrame) -> str:
    if frame.is_empty():
        return "Nothing is suggested yet: too few finished jobs say what they took."
    return "Nothing is suggested: what you allow stands."


def _tables(frame: pl.DataFrame, offered: pl.DataFrame) -> tuple[Table, ...]:
    held = frame.filter(~pl.col("is_offered"))
    tables = []
    if offered.height:
        rows = [_suggested(row) for row in offered.iter_rows(named=True)]
        heads = (
            "Allowance", "Stands on", "A usual job needs", "Suggested to charge",
            "Suggested to load", "At stake", "In words",
        )  # fmt: skip
        caption = "Suggested changes, most money first; at stake in three months"
        tables.append(Table(caption, heads, tuple(rows), frozenset({5})))
    if held.height:
        lines = [
            (
                f"{row['material']}, {row['job_type']}",
                words.counted(row["job_count"], "job"),
                row["why_not"] or "",
            )
            for row in held.iter_rows(named=True)
        ]
        caption = "No change suggested"
        tables.append(Table(caption, ("Allowance", "Stands on", "Why not"), tuple(lines)))
    return tuple(tables)


def _suggested(row: dict[str, Any]) -> tuple[str, ...]:
    unit = row["base_unit"]
    parts = [
        "" if row[name] is None else words.quantity(row[name], unit)
        for name in ("typical_base_quantity", "charged_quantity", "loaded_quantity")
    ]
    aside = row["held_back_count"]
    stands = words.counted(row["job_count"], "job") + (f", {aside} set aside" if aside else "")
    money = "" if row["at_stake_gbp"] is None else words.pounds(row["at_stake_gbp"])
    return (
        f"{row['material']}, {row['job_type']}", stands, *parts, money, row["sentence"] or "",
    )  # fmt: skip
