"""Sizes that materials are cut by, where no record gave them."""

from collections.abc import Iterable

from reports import words
from reports.page import Frames

READS = ("page.default_size",)


def say_defaults(frames: Frames, materials: Iterable[str]) -> tuple[str, ...]:
    """Return which of the materials are cut by default sizes, in one note; none where none is."""
    shown = set(materials)
    told = [
        f"{row['material']} ({row['sizes']})"
        for row in frames["page.default_size"].iter_rows(named=True)
        if row["material"] in shown
    ]
    if not told:
        return ()
    return (f"Default, not yours: {words.listed(told)}. The materials record takes your own.",)
