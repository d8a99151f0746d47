"""Wide sheets: one row a job, several records from it."""

import csv
from pathlib import Path

import pytest
import xlsxwriter

from pipelines.receiving.handed_over import ReadFile
from pipelines.receiving.mapping_files import parse_mapping
from pipelines.receiving.reading import read_file
from pipelines.receiving.wide import split_list
from schemas.records import RECORDS

MAPPING = """
name = "job cards"
files = ["cards*"]
kind = "wide"
header = ["Job", "Finished"]
[words.job_type]
"gar" = "garage"
[[records]]
record = "jobs"
[records.keys]
"Job" = "job_ref"
[records.cells]
"Job type" = "job_type"
"Finished" = "completed_on"
[[records]]
record = "job_materials"
[records.keys]
"Job" = "job_ref"
[records.constants]
material = "resin"
unit = "kg"
[records.cells]
"Resin out kg" = "issued_quantity"
"Resin back kg" = "returned_quantity"
[[records]]
record = "job_materials"
[records.keys]
"Job" = "job_ref"
[records.constants]
material = "topcoat"
[records.cells]
"Topcoat kg" = "issued_quantity"
[[records]]
record = "offcuts"
list = "Drip to rack mm"
[records.keys]
"Job" = "job_ref"
[records.constants]
material = "drip trim"
fate = "racked"
pieces = "1"
[records.cells]
"Drip to rack mm" = "length_mm"
"""
HEADING = [
    "Job", "Job type", "Finished", "Resin out kg", "Resin back kg", "Topcoat kg", "Drip to rack mm",
]  # fmt: skip
CARDS: list[list[str]] = [
    ["Job cards"],
    HEADING,
    ["001", "gar", "2026-05-01", "40", "", "10", "1200, 850"],
    [],
    ["002", "", "", "", "2.5", "", ""],
    HEADING,
    ["003", "", "", "", "", "", ""],
    ["", "", "", "", "", "", "900; 800\n700"],
]


TOTALS = """
[totals]
where = { "Job" = "Total*" }
sums = ["Resin out kg"]
"""


def read_cards(tmp_path: Path, cards: list[list[str]], *, as_workbook: bool = False) -> ReadFile:
    path = tmp_path / "copy"
    if as_workbook:
        book = xlsxwriter.Workbook(path)
        sheet = book.add_worksheet("cards")
        for at, line in enumerate(cards):
            sheet.write_row(at, 0, [cell or None for cell in line])
        book.close()
    else:
        with path.open("w", newline="") as stream:
            csv.writer(stream).writerows(cards)
    mapping = parse_mapping(MAPPING + TOTALS, "cards.toml", RECORDS)
    name = "cards.xlsx" if as_workbook else "cards.csv"
    return read_file(path, name, [mapping], RECORDS)


@pytest.mark.parametrize("as_workbook", [False, True])
def test_each_group_of_filled_cells_is_one_record(tmp_path: Path, *, as_workbook: bool) -> None:
    (sheet,) = read_cards(tmp_path, CARDS, as_workbook=as_workbook).sheets
    assert sheet.rows["jobs"].select("part_no", "job_ref", "job_type").rows() == [
        (1, "001", "garage")
    ]
    used = sheet.rows["job_materials"].select(
        "part_no", "job_ref", "material", "unit", "issued_quantity", "returned_quantity"
    )
    assert used.rows() == [
        (2, "001", "resin", "kg", "40", None),
        (3, "001", "topcoat", None, "10", None),
        (1, "002", "resin", "kg", None, "2.5"),
    ]
    assert sheet.rows["offcuts"].select("part_no", "job_ref", "length_mm", "fate").rows() == [
        (4, "001", "1200", "racked"),
        (5, "001", "850", "racked"),
        (1, None, "900", "racked"),
        (2, None, "800", "racked"),
        (3, None, "700", "racked"),
    ]
    assert [row.why for row in sheet.skipped] == [
        "title", "heading", "blank", "heading repeated", "no cell of a record is filled",
    ]  # fmt: skip
    assert sheet.units_counted == 1 + 3 + 5 + 5


def test_a_figure_that_reads_as_one_or_two_is_not_split_silently(tmp_path: Path) -> None:
    (sheet,) = read_cards(tmp_path, [HEADING, ["1", "", "", "", "", "", "1,200"]]).sheets
    assert (
        sheet.rows["offcuts"]["fault"].to_list()
        == ['"1,200" reads as one figure or as two: part the values with ";"'] * 2
    )
    assert sheet.units_counted == 3


def test_a_ragged_row_marks_each_of_its_records(tmp_path: Path) -> None:
    cards = [HEADING, ["1", "gar", "", "40", "", "", "", "surplus"], ["2", "gar"]]
    (sheet,) = read_cards(tmp_path, cards).sheets
    assert sheet.rows["jobs"]["fault"].to_list() == [
        "the row has 8 cells, the heading 7",
        "the row has 2 cells, the heading 7",
    ]
    assert sheet.rows["job_materials"]["fault"].to_list() == ["the row has 8 cells, the heading 7"]


def test_a_totals_row_is_checked_and_makes_no_record(tmp_path: Path) -> None:
    cards = [HEADING, ["1", "", "", "40", "", "", "900"], ["Total", "", "", "40.0", "", "", "900"]]
    (sheet,) = read_cards(tmp_path, cards).sheets
    assert sheet.skipped[-1].why == "totals, 40.0 agrees with the sum"
    assert sheet.rows["offcuts"].height == 1
    assert sheet.units_counted == 4
    cards[-1][3] = "41"
    assert read_cards(tmp_path, cards).faults[0].why == (
        'the totals row 3 says 41 in "Resin out kg", the rows above it come to 40'
    )


def test_a_list_is_parted_by_comma_semicolon_or_line() -> None:
    assert split_list(" 1200, 850;700\n650 ,") == ["1200", "850", "700", "650"]
