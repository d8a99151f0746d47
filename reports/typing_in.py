"""The workbook for invoices that come on paper: one row a line, its sum told as it is typed."""

from pathlib import Path

from xlsxwriter.worksheet import Worksheet

from reports.templates import closed_list, hint_of
from reports.workbook import Workbook, write_row
from schemas.records import RECORDS

FILE_NAME = "invoices to type in.xlsx"
SUM, STATED, CHECK = "net so far", "net total on paper", "does it agree"
_RECORD = RECORDS["purchases"]
_COLUMNS = (
    "supplier", "document_no", "document_on", "description", "material", "packs", "pack_size",
    "unit", "pack_price_gbp", "line_net_gbp", "vat_pct", "document_type", "line_kind", "job_ref",
)  # fmt: skip
_FIGURES = ("packs", "pack_size", "pack_price_gbp", "line_net_gbp", "vat_pct", SUM, STATED, CHECK)
_HEADS = (*_COLUMNS, SUM, STATED, CHECK)
_AIDS = {
    SUM: "Works itself out: the lines of this invoice down to here.",
    STATED: "The invoice's own total without VAT, typed once, on any line of it.",
    CHECK: "Works itself out: whether all lines of the invoice come to its total.",
}
_FIRST_ROW, _LAST_ROW = 2, 301
_NOTHING_YET = " "
"""What a formula comes to in an empty row; without a letter it would look never worked out."""
_READ_ME = (
    "Invoices to type in: one row for each line of an invoice or credit",
    "Fill supplier, document_no and document_on in every row; copy them down.",
    "Carriage, deposits and discounts are lines too: say so in line_kind, and leave packs blank.",
    f'Type the total without VAT once under "{STATED}". "{CHECK}" then says whether the lines come',
    "to it; where they do not, look for the line that is missing or mistyped.",
    "On a credit write credit in document_type, and its money below 0.",
    "Save the workbook and drop it into the inbox. The columns that work themselves out are not",
    "read. Keep the row of column names as it is.",
)


def write_typing_workbook(folder: Path) -> Path:
    """Write the workbook of invoices to type in into `folder`; return its path. Same bytes."""
    path = folder / FILE_NAME
    with Workbook(path) as book:
        book.add_read_me(_READ_ME)
        sheet = book.add_sheet(_RECORD.name, [max(12, len(name) + 3) for name in _HEADS])
        for number, name in enumerate(_HEADS):
            if name in _FIGURES:
                sheet.set_column(number, number, max(12, len(name) + 3), book.figure)
        hints = [_AIDS.get(name) or hint_of(_RECORD, name) for name in _HEADS]
        write_row(sheet, 0, hints, book.soft)
        for number, name in enumerate(_HEADS):
            look = book.required if name in _RECORD.required else book.head
            sheet.write_string(1, number, name, look)
        sheet.freeze_panes(_FIRST_ROW, 0)
        sheet.set_row(0, 90)
        _offer_lists(sheet)
        _write_sums(sheet)
    return path


def _offer_lists(sheet: Worksheet) -> None:
    for name in ("document_type", "line_kind"):
        column = _HEADS.index(name)
        listed = {"validate": "list", "source": list(closed_list(_RECORD, name))}
        sheet.data_validation(_FIRST_ROW, column, _LAST_ROW, column, listed)


def _write_sums(sheet: Worksheet) -> None:
    """Write the formulas; a row without money, or without a total to hold it to, shows nothing."""
    net, stated = _letter("line_net_gbp"), _letter(STATED)
    for row in range(_FIRST_ROW + 1, _LAST_ROW + 2):
        so_far = _sum_invoice(row, row)
        whole = _sum_invoice(row, _LAST_ROW + 1)
        told = f'IF(ROUND({whole}-{stated}{row},2)=0,"agrees","lines: "&TEXT({whole},"0.00"))'
        _write(sheet, row, SUM, f'=IF({net}{row}="","",{so_far})')
        _write(sheet, row, CHECK, f'=IF({stated}{row}="","",{told})')


def _sum_invoice(row: int, last: int) -> str:
    """Return the sum of the lines of the invoice in `row`, from the first row to `last`."""
    net = _span("line_net_gbp", last)
    same = ",".join(
        f"{_span(name, last)},{_letter(name)}{row}" for name in ("supplier", "document_no")
    )
    return f"SUMIFS({net},{same})"


def _span(name: str, last: int) -> str:
    letter = _letter(name)
    return f"{letter}${_FIRST_ROW + 1}:{letter}${last}"


def _letter(name: str) -> str:
    return chr(ord("A") + _HEADS.index(name))


def _write(sheet: Worksheet, row: int, name: str, formula: str) -> None:
    sheet.write_formula(row - 1, _HEADS.index(name), formula, None, _NOTHING_YET)
