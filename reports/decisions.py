"""The workbook in which the estimator decides: in force beside suggested, and a drop-down."""

from pathlib import Path
from typing import Any

from xlsxwriter.worksheet import Worksheet

from reports.page import Frames
from reports.templates import closed_list
from reports.workbook import Workbook, write_row
from schemas.records import RECORDS

READS = ("page.decision",)
FILE_NAME = "allowances.xlsx"
"""Name of the workbook, beside the pages."""

_SHEET = "decisions"
_HEAD_ROW, _FIRST_ROW = 0, 1
_FROM = {"base unit": "base_unit", "in force since": "in_force_from", "in words": "sentence"}
_SHOWN = (
    *("material", "job_type", "decided_on", *_FROM),
    *("suggested_fixed_loss", "suggested_price_ratio", "suggested_load_ratio"),
    *("suggested_blend_ratio", "suggested_piece_shift"),
    *("in_force_fixed_loss", "in_force_price_ratio", "in_force_load_ratio"),
    *("in_force_blend_ratio", "in_force_piece_shift"),
)
"""Columns that are filled in; `_FROM` says which column of the frame under another name."""

_QUANTITY_DIGITS, _RATIO_DIGITS = 3, 6
_WIDTHS = {"reason": 30, "in words": 110}
_READ_ME = (
    "What you allow: decide here",
    (
        "Each row is a material on a job type. Take a word under decision, or leave it blank: a "
        "row without a decision changes nothing."
    ),
    (
        "accept: the suggested figures stand from that day. They are taken from the columns whose "
        "names begin with suggested."
    ),
    (
        "keep: the figures in force stand, and it is on record that you looked. They are taken "
        "from the columns whose names begin with in_force."
    ),
    "set: your own figures stand. Write all three: fixed_loss, price_ratio and load_ratio.",
    (
        "Leave the three blank with accept and keep. A figure written there that differs from the "
        "one taken is asked back, never adopted."
    ),
    (
        "fixed_loss is lost on any job, in the base unit. price_ratio is charged and load_ratio "
        "loaded on top of what the roof needs, over it: 0.12 is 12 %. load_ratio contains "
        "price_ratio."
    ),
    (
        "charged = need + fixed_loss + price_ratio x need; loaded = need + fixed_loss + load_ratio "
        "x need."
    ),
    (
        "What is cut: need is what the best plan uses up, and of all that re-use could save the "
        "share blend_ratio on top, as your crews leave that much unsaved. Blank: the need as it is."
    ),
    (
        "What is used in whole pieces: piece_shift is added to the count of pieces loaded, then it "
        "is rounded down; 0.5 is the nearest. Blank: not rounded. accept and keep take both by "
        "themselves."
    ),
    "Where suggested is blank nothing is suggested, and accept is not open; the words say why.",
    (
        "The next run writes this workbook anew, and keeps one that you changed here under a name "
        "of its own: save yours with the day in its name, drop that into the inbox, and run."
    ),
)


def write_decision_workbook(frames: Frames, path: Path) -> Path:
    """
    Write the workbook of decisions to `path` and return it. Same frames, same bytes.

    `frames` holds `page.decision`. Figures stand as text: fixed losses in base units to three
    digits, ratios over base to six, as a decision keeps them.
    """
    columns = RECORDS[_SHEET].columns
    rows = frames["page.decision"].to_dicts()
    with Workbook(path) as book:
        book.add_read_me(_READ_ME)
        heads = [*columns, *_FROM]
        sheet = book.add_sheet(_SHEET, [_WIDTHS.get(head, len(head) + 3) for head in heads])
        write_row(sheet, _HEAD_ROW, heads, book.head)
        sheet.freeze_panes(_FIRST_ROW, 2)
        for number, row in enumerate(rows, start=_FIRST_ROW):
            write_row(sheet, number, [_text(row, head) for head in heads], book.text)
        if rows:
            _offer_words(sheet, columns.index("decision"), len(rows))
    return path


def _text(row: dict[str, Any], head: str) -> str | None:
    value = row[_FROM.get(head, head)] if head in _SHOWN else None
    if head == "in force since":
        value = value or row["how"]
    if not isinstance(value, float):
        return None if value is None else str(value)
    digits = _QUANTITY_DIGITS if head.endswith("_loss") else _RATIO_DIGITS
    return f"{value + 0.0:.{digits}f}".rstrip("0").rstrip(".")


def _offer_words(sheet: Worksheet, column: int, count: int) -> None:
    words = list(closed_list(RECORDS[_SHEET], "decision"))
    sheet.data_validation(
        _FIRST_ROW, column, _FIRST_ROW + count - 1, column,
        {
            "validate": "list",
            "source": words,
            "error_title": "Not a decision",
            "error_message": f"Take one of: {', '.join(words)}; or leave it blank.",
        },
    )  # fmt: skip
