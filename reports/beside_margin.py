"""What stands beside the margin: owed, put right, VAT that stays, money in no job's cost."""

import polars as pl

from reports import words
from reports.page import Frames, Section, Table

READS = ("page.beside_margin",)

_QUESTION = "What stands beside the margin?"
_NAMES = {
    "retention": "Retention",
    "put right": "Put right",
    "vat": "VAT not taken back",
    "rebate": "Rebates",
    "deposit": "Deposits",
    "hire": "Hire",
}


def make_sections(frames: Frames) -> tuple[Section, ...]:
    """Return the section of these sums over the last twelve months; none where there are none."""
    frame = frames["page.beside_margin"]
    if frame.is_empty():
        return ()
    sums = words.counted_in_words(frame.height, "sum")
    stand = "stands" if frame.height == 1 else "stand"
    finding = f"Over twelve months {sums} {stand} beside the margin{_largest(frame)}."
    rows = [
        (
            _name(row["item"]),
            "not known" if row["gbp"] is None else words.pounds(row["gbp"]),
            f"{row['item_count']:,}",
            row["sentence"],
        )
        for row in frame.iter_rows(named=True)
    ]
    heads = ("What", "Pounds", "Jobs or lines", "How to read it")
    table = Table("Beside the margin", heads, tuple(rows), frozenset({1, 2}))
    return (Section(_QUESTION, finding, tables=(table,), is_printed=False),)


def _largest(frame: pl.DataFrame) -> str:
    largest = frame["gbp"][0]
    if largest is None or frame.height == 1:
        return ""
    return f", the largest {words.pounds(largest)}"


def _name(item: str) -> str:
    return _NAMES.get(item, item)
