"""The workbook of rows to mend, read back."""

import json
from pathlib import Path

import openpyxl
import polars as pl
from openpyxl.cell import Cell
from openpyxl.worksheet.worksheet import Worksheet

from reports.rejects import MARKS, RECEIPT_MARK, read_mark, write_reject_workbook
from schemas.records import RECORDS

COLUMNS = (
    "receipt_no", "file_name", "sheet", "row_no", "part_no", "record", "column_name", "value",
    "reason", "remedy", "columns_text",
)  # fmt: skip


def rejects() -> pl.DataFrame:
    card = json.dumps(
        {"job_ref": "2026-014", "material": "resin", "issued_quantity": "a few", "notes": "=1+1"}
    )
    count = json.dumps({"counted_on": "2026-05-29", "material": "resin", "quantity": "-x"})
    rows = [
        (7, "cards.xlsx", "cards", 9, 2, "job_materials", "issued_quantity", "a few",
         "is no number", "Write kilograms.", card),
        (7, "cards.xlsx", "cards", 9, 2, "job_materials", "job_ref", "2026-014",
         "is not known yet", "Hand in the job.", card),
        (8, "count.csv", "", 3, 1, "stock_counts", "quantity", "-x", "is no number",
         "Write a number.", count),
    ]  # fmt: skip
    return pl.DataFrame(rows, schema=dict.fromkeys(COLUMNS, pl.String) | {
        "receipt_no": pl.Int64, "row_no": pl.Int64, "part_no": pl.Int64,
    }, orient="row")  # fmt: skip


def _row(sheet: Worksheet) -> dict[str, Cell]:
    """Return the second row of a sheet by the names in the first."""
    return {str(head.value): cell for head, cell in zip(sheet[1], sheet[2], strict=True)}


def test_each_record_has_a_sheet_with_the_row_in_our_columns_and_why(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(write_reject_workbook(rejects(), tmp_path / "rejects.xlsx"))
    assert book.sheetnames == ["read me", "job_materials", "stock_counts"]
    row = _row(book["job_materials"])
    assert list(row) == [*RECORDS["job_materials"].columns, *MARKS]
    assert {name: cell.value for name, cell in row.items() if cell.value is not None} == {
        "job_ref": "2026-014", "material": "resin", "issued_quantity": "a few", "notes": "=1+1",
        "from file": "cards.xlsx", "from sheet": "cards", "from row": "9",
        RECEIPT_MARK: "7 part 2", "column in doubt": "issued_quantity\njob_ref",
        "value in doubt": "a few\n2026-014", "why": "is no number\nis not known yet",
        "what would mend it": "Write kilograms.\nHand in the job.",
    }  # fmt: skip
    assert book["job_materials"].max_row == 2


def test_a_mark_tells_which_row_is_answered() -> None:
    marks = {"from sheet": "cards", "from row": "9", RECEIPT_MARK: "7 part 2"}
    assert read_mark(marks) == (7, "cards", 9, 2)
    assert read_mark({"from row": "3", RECEIPT_MARK: "8"}) == (8, "", 3, 1)
    assert read_mark({"from row": "3"}) is None
    assert read_mark({"from row": "third", RECEIPT_MARK: "8"}) is None


def test_a_text_that_looks_like_a_sum_stays_text(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(write_reject_workbook(rejects(), tmp_path / "rejects.xlsx"))
    cell = _row(book["job_materials"])["notes"]
    assert (cell.value, cell.data_type) == ("=1+1", "s")
    assert _row(book["stock_counts"])["quantity"].data_type == "s"


def test_the_first_sheet_says_what_to_do(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(write_reject_workbook(rejects(), tmp_path / "rejects.xlsx"))
    said = " ".join(str(row[0].value) for row in book["read me"].iter_rows())
    assert "drop it into the inbox" in said


def test_same_rows_make_the_same_bytes(tmp_path: Path) -> None:
    first = write_reject_workbook(rejects(), tmp_path / "first.xlsx").read_bytes()
    assert first == write_reject_workbook(rejects(), tmp_path / "again.xlsx").read_bytes()
