"""The workbook of suppliers' wordings that no one has named yet, to fill in and hand in again."""

from pathlib import Path

import polars as pl

from reports.templates import closed_list
from reports.workbook import Workbook, write_row
from schemas.records import RECORDS

READS = ("page.unknown_description",)

_SHEET = "descriptions"
_ASKED = ("material", "pack_size", "unit", "line_kind")
_HEADS = ("supplier", "description", *_ASKED, "lines", "pounds", "last seen")
_WIDTHS = (26, 48, 22, 12, 10, 14, 8, 12, 12)
_READ_ME = (
    "Descriptions to name: say once what each means",
    "Each row is a supplier's wording that is not known yet. The lines that have it wait.",
    "For goods write the material as in your list of materials, and what one pack holds:",
    "pack_size with its unit, as 20 and kg. Leave pack_size blank where the list says it.",
    "For what is no goods leave material blank and take a line_kind: carriage, hire, deposit ...",
    "A row left blank changes nothing. The columns at the right are only to help.",
    "Save the workbook and drop it into the inbox; then run. Every line with that wording, held",
    "or still to come, has its material from then on; to change it, hand in the row again.",
)


def write_wordings_workbook(unknown: pl.DataFrame, path: Path) -> Path:
    """
    Write the workbook to `path` and return it. Same rows, same bytes.

    `unknown` is page.unknown_description: supplier, description, line_count, net_gbp, last_on.
    """
    with Workbook(path) as book:
        book.add_read_me(_READ_ME)
        sheet = book.add_sheet(_SHEET, _WIDTHS)
        write_row(sheet, 0, _HEADS, book.head)
        sheet.freeze_panes(1, 0)
        for number, row in enumerate(unknown.iter_rows(named=True), start=1):
            write_row(sheet, number, [row["supplier"], row["description"]], book.text)
            shown = [f"{row['line_count']}", f"{row['net_gbp']:,.2f}", str(row["last_on"] or "")]
            blank = [""] * (len(_HEADS) - len(shown))
            write_row(sheet, number, [*blank, *shown], book.soft)
        column = _HEADS.index("line_kind")
        kinds = closed_list(RECORDS[_SHEET], "line_kind")
        listed = {"validate": "list", "source": list(kinds)}
        sheet.data_validation(1, column, unknown.height, column, listed)
    return path
