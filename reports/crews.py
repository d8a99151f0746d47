"""Whether the vans differ, where the owner asks for it: no ranking, and nothing of a person."""

from typing import Any

import polars as pl

from reports import words
from reports.page import Frames, Section, Table

READS = ("page.crew",)

QUESTION = "Do the vans differ?"
_PURPOSE = (
    "This is for finding what a van lacks: scales, a rack, a way of loading. It is about vans and "
    "their roofs and says nothing of a person. Tell the crews first what is compared and why, and "
    "show it to them before anyone else."
)
_LIMITS = (
    "Roofs differ, and what belongs to a kind of roof that one van alone does is put down to the "
    "roof. A van is drawn to the mean of all where few jobs speak. Of ten materials one may look "
    "apart by chance. Less is no saving where a roof has to hold it."
)


def make_section(frames: Frames) -> Section | None:
    """Return what the vans used beside the mean of all; None where nobody asked for it."""
    frame = frames["page.crew"]
    if frame.is_empty():
        return None
    said = frame.drop_nulls("material")
    if said.is_empty():
        finding = "We cannot say yet: jobs that count as eight new ones are needed of two vans."
        return Section(QUESTION, finding, notes=(_PURPOSE,), is_printed=False)
    return Section(
        QUESTION,
        _find(said),
        notes=(_PURPOSE, _LIMITS),
        folded=(_list_vans(said),),
        is_printed=False,
    )


def _find(said: pl.DataFrame) -> str:
    apart = said.filter("is_apart")["material"].unique(maintain_order=True).to_list()
    if not apart:
        return "The vans do not differ beyond chance."
    if len(apart) == 1:
        return f"In {apart[0]} the vans differ beyond chance: look first at how it is recorded."
    return (
        f"In {words.counted_in_words(len(apart), 'material')} the vans differ beyond chance: "
        "look first at how they are recorded."
    )


def _list_vans(said: pl.DataFrame) -> Table:
    heads = ("Material", "Van", "Jobs", "Beside the mean of the vans", "Between", "Beyond chance")
    rows = tuple(_row(row) for row in said.iter_rows(named=True))
    return Table("The vans, by name, material by material", heads, rows, frozenset({2, 3}))


def _row(row: dict[str, Any]) -> tuple[str, ...]:
    low, high = row["shrunken_low_ratio"], row["shrunken_high_ratio"]
    return (
        words.start_upper(row["material"]),
        row["crew"],
        str(row["job_count"]),
        f"{words.signed_percent(row['shrunken_ratio'])} of the need",
        f"{words.signed_percent(low)} and {words.signed_percent(high)}",
        "yes" if row["is_apart"] else "no",
    )
