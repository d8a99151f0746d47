"""What stands out in the papers alone, before a crew has filled in anything."""

from decimal import Decimal

import polars as pl

from reports import words
from reports.page import Frames, Section, Table

READS = ("page.first_look",)

_MOST_ROWS = 8
_QUESTION = "What stands out in your papers?"
_LOOKED_FOR = (
    "Looked for: prices in the quotes that invoices no longer ask, invoice lines that do not "
    "multiply out, resin and mat bought beside what is allowed, edges just over a whole number of "
    "lengths in open quotes, lots near or past their date, and invoices and credits that a "
    "statement of account names and nobody handed in."
)


def make_first_look_section(frames: Frames) -> Section:
    """Return the section of findings, most money first; a sentence where there is none."""
    frame = frames["page.first_look"].sort("order_no", maintain_order=True)
    if frame.is_empty():
        return Section(_QUESTION, "Nothing stands out in what was handed in.", None, (_LOOKED_FOR,))
    return Section(_QUESTION, _find(frame), None, (_LOOKED_FOR,), (_list_findings(frame),))


def _find(frame: pl.DataFrame) -> str:
    count = words.start_upper(words.counted_in_words(frame.height, "finding"))
    first = frame.row(0, named=True)
    if first["gbp"] is None or first["gbp"] <= 0:
        return f"{count}, none of which is known to cost you money."
    return f"{count}; the first is worth {words.exact_pounds(first['gbp'])} {first['per']}."


def _list_findings(frame: pl.DataFrame) -> Table:
    rows = [
        (words.start_upper(row["sentence"]), _money(row["gbp"]), row["per"], row["found_at"])
        for row in frame.head(_MOST_ROWS).iter_rows(named=True)
    ]
    more = frame.height - len(rows)
    caption = "Most money first" + (f"; {more:,} more of less money not shown" if more else "")
    heads = ("What was found", "Pounds", "Of what", "Where it stands")
    return Table(caption, heads, tuple(rows), frozenset({1}))


def _money(gbp: Decimal | None) -> str:
    return "not known" if gbp is None else words.exact_pounds(gbp)
