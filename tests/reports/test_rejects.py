"""The workbook of rows to mend, read back."""

import json
from pathlib import Path

import openpyxl
import polars as pl

from reports.rejects import MARKS, write_reject_workbook

COLUMNS = (
    "file_name", "sheet", "row_no", "part_no", "record", "column_name", "value", "reason",
    "remedy", "row_text",
)  # fmt: skip


def rejects() -> pl.DataFrame:
    card = json.dumps({"Job": "2026-014", "Resin out kg": "a few", "Note": "=1+1"})
    count = json.dumps({"counted_on": "2026-05-29", "material": "resin", "quantity": "-x"})
    rows = [
        ("cards.xlsx", "cards", 9, 1, "job_materials", "Resin out kg", "a few", "is no number",
         "Write kilograms.", card),
        ("cards.xlsx", "cards", 9, 1, "job_materials", "Job", "2026-014", "is not known yet",
         "Hand in the job.", card),
        ("count.csv", "", 3, 1, "stock_counts", "quantity", "-x", "is no number",
         "Write a number.", count),
        ("odd.csv", "", 5, 1, None, None, None, "the row has 3 cells, the heading 2",
         "Put the comma right.", None),
    ]  # fmt: skip
    return pl.DataFrame(rows, schema=dict.fromkeys(COLUMNS, pl.String) | {
        "row_no": pl.Int64, "part_no": pl.Int64,
    }, orient="row")  # fmt: skip


def test_each_record_has_a_sheet_with_the_row_as_received_and_why(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(write_reject_workbook(rejects(), tmp_path / "rejects.xlsx"))
    assert book.sheetnames == ["read me", "job_materials", "stock_counts", "other rows"]
    sheet = book["job_materials"]
    heads = [cell.value for cell in sheet[1]]
    assert heads == ["Job", "Resin out kg", "Note", *MARKS]
    assert [cell.value for cell in sheet[2]] == [
        "2026-014", "a few", "=1+1", "cards.xlsx", "cards", "9", "Resin out kg\nJob",
        "a few\n2026-014", "is no number\nis not known yet", "Write kilograms.\nHand in the job.",
    ]  # fmt: skip
    assert sheet.max_row == 2


def test_a_text_that_looks_like_a_sum_stays_text(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(write_reject_workbook(rejects(), tmp_path / "rejects.xlsx"))
    cell = book["job_materials"]["C2"]
    assert (cell.value, cell.data_type) == ("=1+1", "s")
    assert book["stock_counts"]["C2"].data_type == "s"


def test_the_first_sheet_says_what_to_do(tmp_path: Path) -> None:
    book = openpyxl.load_workbook(write_reject_workbook(rejects(), tmp_path / "rejects.xlsx"))
    said = " ".join(str(row[0].value) for row in book["read me"].iter_rows())
    assert "drop it into the inbox" in said


def test_same_rows_make_the_same_bytes(tmp_path: Path) -> None:
    first = write_reject_workbook(rejects(), tmp_path / "first.xlsx").read_bytes()
    assert first == write_reject_workbook(rejects(), tmp_path / "again.xlsx").read_bytes()
