"""Workbooks as firms hand them in: dates, formula faults, merged cells, hidden sheets."""

import zipfile
from collections.abc import Callable
from datetime import UTC, date, datetime
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter

from pipelines.receiving import limits
from pipelines.receiving.handed_over import ReadFile
from pipelines.receiving.reading import read_file
from schemas.records import RECORDS

Fill = Callable[[xlsxwriter.Workbook], None]
HEADING = ["job_ref", "job_type", "completed_on", "quoted_area_m2", "notes"]


def read(tmp_path: Path, fill: Fill, name: str = "2026.xlsx") -> ReadFile:
    path = tmp_path / "copy.xlsx"
    book = xlsxwriter.Workbook(path)
    fill(book)
    book.close()
    file = read_file(path, name, (), RECORDS)
    for sheet in file.sheets:
        rows = sum(frame.height for frame in sheet.rows.values())
        assert sheet.units_counted == rows + len(sheet.skipped)
    return file


def test_cells_come_as_plain_text(tmp_path: Path) -> None:
    def fill(book: xlsxwriter.Workbook) -> None:
        sheet = book.add_worksheet("jobs")
        day = book.add_format({"num_format": "dd/mm/yyyy"})
        sheet.write_row("A1", HEADING)
        sheet.write_row("A2", ["001", "garage", None, 0.1 + 0.2, True])
        sheet.write_datetime("C2", datetime(2026, 3, 1, tzinfo=UTC).replace(tzinfo=None), day)
        sheet.write_row("A3", [7, "garage", 45352, 20.0])
        sheet.write_formula("E3", "=1/0", None, "#DIV/0!")
        sheet.write_row("A4", ["  8 ", "bay", "31/02/2026", "14 m2", "#N/A"])
        sheet.write_formula("D4", "=A9*2", None, "#REF!")

    frame = read(tmp_path, fill).sheets[0].rows["jobs"]
    assert frame.select(HEADING).rows() == [
        ("001", "garage", "2026-03-01 00:00:00", "0.3", "true"),
        ("7", "garage", "45352", "20", "#DIV/0!"),
        ("  8 ", "bay", "31/02/2026", "#REF!", "#N/A"),
    ]
    assert frame["sheet"].unique().to_list() == ["jobs"]


def test_row_numbers_hold_where_the_sheet_starts_low_and_right(tmp_path: Path) -> None:
    def fill(book: xlsxwriter.Workbook) -> None:
        sheet = book.add_worksheet("jobs")
        sheet.write("C3", "Jobs of May")
        sheet.write_row("C5", ["job_ref", "job_type"])
        sheet.write_row("C8", ["001", "garage"])
        sheet.write_blank("F20", None, book.add_format({"bold": True}))
        sheet.write("F21", "  ")

    (sheet,) = read(tmp_path, fill).sheets
    assert sheet.rows["jobs"].select("row_no", "job_ref").rows() == [(8, "001")]
    assert [(row.row_no, row.why) for row in sheet.skipped] == [
        (1, "blank"), (2, "blank"), (3, "title"), (4, "blank"), (5, "heading"), (6, "blank"),
        (7, "blank"),
    ]  # fmt: skip
    assert sheet.units_counted == 8


def test_merged_cells_hold_only_the_top_left(tmp_path: Path) -> None:
    def fill(book: xlsxwriter.Workbook) -> None:
        sheet = book.add_worksheet("jobs")
        sheet.write_row("A1", ["job_ref", "job_type"])
        sheet.merge_range("B2:B3", "garage")
        sheet.write_column("A2", ["001", "002"])

    frame = read(tmp_path, fill).sheets[0].rows["jobs"]
    assert frame["job_type"].to_list() == ["garage", None]


def test_hidden_sheets_are_read_and_helper_sheets_passed_over(tmp_path: Path) -> None:
    def fill(book: xlsxwriter.Workbook) -> None:
        for name in ("jobs", "edges"):
            sheet = book.add_worksheet(name)
            sheet.write_row("A1", RECORDS[name].required)
            sheet.write_row("A2", ["1"] * len(RECORDS[name].required))
        sheet.hide()
        book.add_worksheet("Lists").write("A1", "garage")
        book.add_worksheet("Read_me").write("A1", "how to")
        book.add_worksheet("Sheet3")

    file = read(tmp_path, fill)
    assert [list(sheet.rows) for sheet in file.sheets] == [["jobs"], ["edges"]]
    assert file.faults == ()
    assert file.notes == (
        'sheet "Lists" passed over',
        'sheet "Read_me" passed over',
    )


def test_one_bad_sheet_does_not_stop_the_others(tmp_path: Path) -> None:
    def fill(book: xlsxwriter.Workbook) -> None:
        book.add_worksheet("jobs").write_row("A1", ["job_ref"])
        sheet = book.add_worksheet("suppliers")
        sheet.write_column("A1", ["supplier", "Quayside Resins"])

    file = read(tmp_path, fill)
    assert [sheet.sheet for sheet in file.sheets] == ["suppliers"]
    assert [(fault.sheet, fault.why) for fault in file.faults] == [
        ("jobs", 'the heading in row 1 lacks "job_type"; it has "job_ref"')
    ]


def test_a_workbook_of_another_writer_counts_the_same(tmp_path: Path) -> None:
    path = tmp_path / "jobs.xlsx"
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "jobs"
    sheet.append(["job_ref", "job_type", "completed_on"])
    sheet.append(["001", "garage", date(2026, 3, 1)])
    sheet["A40"] = "002"
    book.save(path)
    file = read_file(path, "jobs.xlsx", (), RECORDS)
    assert file.sheets[0].units_counted == sheet.max_row == 40
    assert file.sheets[0].rows["jobs"]["completed_on"].to_list() == ["2026-03-01 00:00:00", None]


@pytest.mark.parametrize(
    ("content", "name", "why"),
    [
        (b"PK\x03\x04 cut off", "jobs.xlsx", "the workbook is damaged or only half there"),
        (b"job_ref,job_type", "jobs.xlsx", "a workbook that is damaged or only half there"),
        (b"\xd0\xcf\x11\xe0 old", "jobs.xlsx", "an old or password-locked workbook"),
        (b"\x89PNG", "jobs.csv", "a picture"),
        (b"%PDF-1.7", "bill.pdf", "the PDF is damaged or only half there"),
        (b"PK\x03\x04 sheet", "jobs.ods", "an OpenDocument sheet"),
    ],
)
def test_what_is_no_workbook_is_said_in_words(
    tmp_path: Path, content: bytes, name: str, why: str
) -> None:
    path = tmp_path / "copy"
    path.write_bytes(content)
    file = read_file(path, name, (), RECORDS)
    assert file.sheets == ()
    assert file.faults[0].why.startswith(why)
    assert file.faults[0].mend


def test_a_sheet_of_too_many_columns_is_refused(tmp_path: Path) -> None:
    file = read(tmp_path, lambda book: book.add_worksheet("jobs").write(0, 2_000, "x") and None)
    assert file.faults[0].why == 'sheet "jobs" has 2,001 columns'


def test_a_far_corner_is_refused_before_it_fills_the_memory(tmp_path: Path) -> None:
    file = read(
        tmp_path, lambda book: book.add_worksheet("jobs").write(1_000_000, 99, "x") and None
    )
    assert file.faults[0].why == 'sheet "jobs" spans over 50 million cells'


def test_what_expands_too_far_is_refused(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "copy.xlsx"
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/workbook.xml", b" " * 2_000_000)
    monkeypatch.setattr(limits, "MOST_MEMBER_BYTES", 1_000_000)
    file = read_file(path, "jobs.xlsx", (), RECORDS)
    assert file.faults[0].why == "the workbook expands above 500 MB"
    monkeypatch.setattr(limits, "MOST_FILE_BYTES", 100)
    assert read_file(path, "jobs.xlsx", (), RECORDS).faults[0].why == "the file is above 200 MB"


def test_a_file_that_is_gone_is_a_fault(tmp_path: Path) -> None:
    file = read_file(tmp_path / "gone.csv", "gone.csv", (), RECORDS)
    assert file.faults[0].why == "the file can't be opened: No such file or directory"
