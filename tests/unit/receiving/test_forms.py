"""Forms: values beside their labels, small tables below, one form a sheet."""

import csv
from pathlib import Path

import pytest
import xlsxwriter

from pipelines.errors import MappingError
from pipelines.receiving.handed_over import ReadFile
from pipelines.receiving.mapping_files import parse_mapping
from pipelines.receiving.reading import read_file
from schemas.records import RECORDS

MAPPING = """
name = "quote forms"
files = ["quote*"]
kind = "form"
date_order = "dmy"
required = ["Roof area"]
file_name = '''quote (?P<job_ref>\\d{4}-\\d{3}).*'''
[words.job_type]
"gar" = "garage"
[[records]]
record = "jobs"
[records.labels]
"Kind of job" = "job_type"
"Roof area" = { column = "quoted_area_m2", cell = "right", away = 2 }
"Price" = { column = "quoted_price_gbp", cell = "below" }
"Date" = { column = "quoted_on", cell = "same" }
[[records]]
record = "edges"
header = ["Edge", "Length"]
ends_at = "together*"
[records.columns]
"Edge" = "edge_no"
"Trim" = "material"
"Length" = "quoted_mm"
[[records]]
record = "extras"
[records.labels]
"Extra work" = "words"
"Extra price" = "price_gbp"
[records.constants]
extra_no = "1"
"""
FORM: list[list[str]] = [
    ["Two Ladders Roofing", "", "Date: 3/4/2026"],
    [],
    ["KIND  of job :", "gar", "", "Price"],
    ["Roof area", "about", "24.5", "1,850.00"],
    [],
    ["Edge", "Length", "", "Trim"],
    ["1", "6000", "", "drip trim"],
    ["2", "4100 mm", "", "raised edge trim"],
    ["together", "10100"],
    ["Extra work", "Extra price", "120"],
]


def read(
    tmp_path: Path,
    sheets: dict[str, list[list[str]]],
    said: str = MAPPING,
    name: str = "Quote 2026-014 final.xlsx",
) -> ReadFile:
    path = tmp_path / "copy"
    if name.endswith("csv"):
        with path.open("w", newline="") as stream:
            csv.writer(stream).writerows(next(iter(sheets.values())))
    else:
        book = xlsxwriter.Workbook(path)
        for tab, form in sheets.items():
            sheet = book.add_worksheet(tab)
            for at, line in enumerate(form):
                sheet.write_row(at, 0, [cell or None for cell in line])
        book.close()
    file = read_file(path, name, [parse_mapping(said, "quotes.toml", RECORDS)], RECORDS)
    for sheet in file.sheets:
        made = sum(frame.height for frame in sheet.rows.values()) + len(sheet.skipped)
        assert sheet.units_counted == made
    return file


@pytest.mark.parametrize("name", ["Quote 2026-014 final.xlsx", "quote 2026-014.csv"])
def test_values_are_found_by_their_labels(tmp_path: Path, name: str) -> None:
    (sheet,) = read(tmp_path, {"quote": FORM}, name=name).sheets
    columns = ("job_ref", "job_type", "quoted_area_m2", "quoted_price_gbp", "quoted_on")
    assert sheet.rows["jobs"].select(columns).rows() == [
        ("2026-014", "garage", "24.5", "1,850.00", "3/4/2026")
    ]
    assert sheet.rows["jobs"].select("row_no", "date_order").rows() == [(1, "dmy")]
    assert sheet.rows["edges"].select(
        "row_no", "job_ref", "edge_no", "material", "quoted_mm"
    ).rows() == [
        (7, "2026-014", "1", "drip trim", "6000"),
        (8, "2026-014", "2", "raised edge trim", "4100 mm"),
    ]
    # a label beside a label is no value
    assert sheet.rows["extras"].select("words", "price_gbp", "extra_no").rows() == [
        (None, "120", "1")
    ]
    assert sheet.units_counted == 4


def test_one_form_a_sheet_takes_the_job_from_the_tab(tmp_path: Path) -> None:
    said = MAPPING.replace("file_name", "tab_name").replace("'''quote ", "'''")
    forms = {"2026-014": FORM, "2026-015": [["Roof area", "", "12"]]}
    file = read(tmp_path, forms, said, "quotes of May.xlsx")
    assert [sheet.rows["jobs"]["job_ref"].to_list() for sheet in file.sheets] == [
        ["2026-014"], ["2026-015"],
    ]  # fmt: skip
    assert 'sheet "2026-015" has no label "price"' in file.notes


def test_a_form_without_its_required_label_or_with_one_twice_is_a_fault(tmp_path: Path) -> None:
    file = read(tmp_path, {"one": FORM[4:], "two": [*FORM, ["Price", "2"]]})
    assert [fault.why for fault in file.faults] == [
        'the required label "Roof area" is missing from the form',
        'the label "price" stands twice, in row 3 and row 11',
    ]


def test_a_file_name_that_the_pattern_does_not_fit_is_a_fault(tmp_path: Path) -> None:
    file = read(tmp_path, {"one": FORM}, name="quote Smith.xlsx")
    assert file.faults[0].why == (
        'the file\'s name "quote Smith" does not fit the pattern of the mapping'
    )


def test_two_labels_that_differ_over_one_column_are_both_named(tmp_path: Path) -> None:
    said = MAPPING.replace('"Price" =', '"Our price" = "quoted_price_gbp"\n"Price" =')
    file = read(tmp_path, {"one": [*FORM, ["Our price", "1900"]]}, said)
    assert file.faults[0].why == (
        'the labels "our price" and "price" both give quoted_price_gbp, "1900" and "1,850.00"'
    )


def test_a_heading_that_stands_twice_is_not_guessed_at(tmp_path: Path) -> None:
    file = read(tmp_path, {"one": [*FORM, FORM[5]]})
    assert file.faults[0].why == "the heading Edge, Length stands in rows 6 and 11"


@pytest.mark.parametrize(
    ("said", "message"),
    [
        (MAPPING.replace('"below"', '"left"'), '"records 1.labels."Price".cell" must be one of '),
        (MAPPING.replace("away = 2", "away = 0"), '"records 1.labels."Roof area".away" must be a'),
        (MAPPING.replace('cell = "same"', "cel = 1"), '"records 1.labels."Date".cel" is not kn'),
        (MAPPING.replace('header = ["Edge", "Length"]\n', ""), '"records 2" must be labels, '),
        (MAPPING.replace("?P<job_ref>", "?P<job>"), '"file_name" names the column "job", which'),
        (MAPPING.replace("(?P<job_ref>\\d{4}-\\d{3})", "("), '"file_name" must be a pattern (err'),
        (MAPPING.replace("required", "header"), '"header" is not known; allowed: credits, date_'),
    ],
)
def test_what_a_form_must_not_say_names_file_and_key(said: str, message: str) -> None:
    with pytest.raises(MappingError) as caught:
        parse_mapping(said, "m.toml", RECORDS)
    assert str(caught.value).startswith(f"m.toml: {message}")
