"""Tables by mapping: titles, words, descriptions, constants, totals."""

import csv
from pathlib import Path

import pytest
import xlsxwriter

from pipelines.receiving.handed_over import ReadFile
from pipelines.receiving.mapping_files import parse_mapping
from pipelines.receiving.reading import read_file
from pipelines.receiving.written_figures import read_amount
from schemas.records import RECORDS

MAPPING = """
name = "quayside sales lines"
files = ["quayside*"]
sheets = ["May*"]
kind = "table"
record = "purchases"
date_order = "dmy"
document = "quayside {stem}"
header = ["Invoice", "Description"]
[columns]
"Invoice" = "document_no"
"Type" = "document_type"
"Description" = "description"
"Net" = "line_net_gbp"
"Kind" = "line_kind"
"Pack price" = "pack_price_gbp"
[constants]
supplier = "Quayside Resins"
line_kind = "goods"
[words.document_type]
"CR" = "credit"
"INV" = "invoice"
[descriptions."Laminating resin 20 kg tin"]
material = "resin"
pack_size = "20"
unit = "kg"
[descriptions."Carriage"]
line_kind = "carriage"
[totals]
where = { "Description" = "Total*" }
sums = ["Net"]
"""
LINES: list[list[str]] = [
    ["Quayside Resins, lines of May"],
    [],
    ["Invoice", "Type", "Description", "Net", "Kind", "Weight"],
    ["4711", "inv", "laminating  RESIN 20 kg tin", "1,200.00", "", "20"],
    ["4711", "INV", "Carriage", "34.50", "", ""],
    ["", "", "Total for 4711", "1,234.50", "", ""],
    ["4712", "cr", "Resin of another kind", "(45.00)", "hire", ""],
    ["", "", "total for 4712", "-45.00", "", ""],
    ["", "", "Total", "£1,189.50", "", ""],
]


def read_lines(tmp_path: Path, lines: list[list[str]]) -> ReadFile:
    path = tmp_path / "copy"
    with path.open("w", newline="") as stream:
        csv.writer(stream).writerows(lines)
    mapping = parse_mapping(MAPPING, "quayside.toml", RECORDS)
    file = read_file(path, "Quayside May (1).csv", [mapping], RECORDS)
    for sheet in file.sheets:
        assert sheet.units_counted == sheet.rows["purchases"].height + len(sheet.skipped)
    return file


def test_the_mapping_brings_their_lines_to_our_columns(tmp_path: Path) -> None:
    file = read_lines(tmp_path, LINES)
    assert (file.source, file.document, file.version_rank) == (
        "quayside sales lines", "quayside quayside may", (0, 0, 1),
    )  # fmt: skip
    frame = file.sheets[0].rows["purchases"]
    assert frame.select(
        "row_no", "document_type", "material", "pack_size", "line_kind", "line_net_gbp", "supplier"
    ).rows() == [
        (4, "invoice", "resin", "20", "goods", "1,200.00", "Quayside Resins"),
        (5, "invoice", None, None, "carriage", "34.50", "Quayside Resins"),
        (7, "credit", None, None, "hire", "(45.00)", "Quayside Resins"),
    ]
    assert frame["pack_price_gbp"].to_list() == [None] * 3
    assert frame["date_order"].unique().to_list() == ["dmy"]
    assert file.notes == ('column "Weight" is not used',)


def test_totals_rows_are_listed_with_what_they_agree_with(tmp_path: Path) -> None:
    assert [(row.row_no, row.why) for row in read_lines(tmp_path, LINES).sheets[0].skipped] == [
        (1, "title"),
        (2, "blank"),
        (3, "heading"),
        (6, "totals, 1,234.50 agrees with the sum"),
        (8, "totals, -45.00 agrees with the sum"),
        (9, "totals, 1,189.50 agrees with the sum"),
    ]


def test_a_totals_row_that_does_not_match_is_a_fault_with_both_figures(tmp_path: Path) -> None:
    file = read_lines(tmp_path, [*LINES[:4], *LINES[5:]])
    assert file.sheets == ()
    assert file.faults[0].why == (
        'the totals row 5 says 1,234.50 in "Net", the rows above it come to 1,200.00'
    )


def test_a_total_over_an_unclear_line_is_not_checked_and_says_why(tmp_path: Path) -> None:
    unclear = [*LINES[:4], ["4711", "INV", "Carriage", "12,5", "", ""], LINES[5]]
    assert read_lines(tmp_path, unclear).sheets[0].skipped[-1].why == (
        'totals, "Net" not checked: row 5 has "12,5"'
    )


def test_only_the_sheets_of_the_mapping_are_read(tmp_path: Path) -> None:
    path = tmp_path / "copy.xlsx"
    book = xlsxwriter.Workbook(path)
    for name in ("May lines", "Chart"):
        sheet = book.add_worksheet(name)
        for at, line in enumerate(LINES):
            sheet.write_row(at, 0, [cell or None for cell in line])
    book.close()
    mapping = parse_mapping(MAPPING, "quayside.toml", RECORDS)
    file = read_file(path, "quayside.xlsx", [mapping], RECORDS)
    assert [sheet.sheet for sheet in file.sheets] == ["May lines"]
    assert file.sheets[0].units_counted == len(LINES)
    assert 'sheet "Chart" passed over' in file.notes


def test_two_headings_for_one_column_are_a_fault(tmp_path: Path) -> None:
    path = tmp_path / "copy"
    path.write_text("Invoice,Description,Net,Net amount\n4711,Tin,1,1\n")
    said = MAPPING.replace('"Kind" =', '"Net amount" = "line_net_gbp"\n"Kind" =')
    mapping = parse_mapping(said, "quayside.toml", RECORDS)
    file = read_file(path, "quayside.csv", [mapping], RECORDS)
    assert file.faults[0].why == (
        'the headings "Net" and "Net amount" are both mapped to line_net_gbp'
    )


def test_a_required_column_that_is_missing_is_named(tmp_path: Path) -> None:
    path = tmp_path / "copy"
    path.write_text("Invoice,Description\n4711,Tin\n")
    said = MAPPING.replace("[columns]", 'required = ["Net"]\n[columns]')
    mapping = parse_mapping(said, "quayside.toml", RECORDS)
    file = read_file(path, "quayside.csv", [mapping], RECORDS)
    assert file.faults[0].why == (
        'the required column "Net" is missing; the heading has "Invoice", "Description"'
    )


@pytest.mark.parametrize(
    ("cell", "amount"),
    [
        ("1,234.50", "1234.50"), ("£ 12", "12"), ("(45.00)", "-45.00"), ("45.00-", "-45.00"),
        ("45.00 CR", "-45.00"), ("-3", "-3"), (".5", "0.5"), (None, "0"),
        ("12,5", "None"), ("1,23,4", "None"), ("abc", "None"), ("NaN", "None"), ("1e3", "None"),
    ],
)  # fmt: skip
def test_amounts_as_totals_show_them(cell: str | None, amount: str) -> None:
    assert str(read_amount(cell)) == amount


def test_a_decision_that_nobody_filled_in_is_skipped_and_counted(tmp_path: Path) -> None:
    path = tmp_path / "copy"
    path.write_text(
        "material,job_type,decided_on,decision,fixed_loss,price_ratio,load_ratio\n"
        "resin,garage,2026-06-01,,1,0.1,0.2\n"
        "resin,porch,2026-06-01,keep,1,0.1,0.2\n"
        "resin,bay,2026-06-01,  ,,,\n",
        encoding="utf-8",
    )

    (sheet,) = read_file(path, "decisions.csv", (), RECORDS).sheets

    assert sheet.rows["decisions"].select("row_no", "job_type").rows() == [(3, "porch")]
    assert [(row.row_no, row.why) for row in sheet.skipped] == [
        (1, "heading"),
        (2, "no decision filled in"),
        (4, "no decision filled in"),
    ]
    assert sheet.skipped[1].text == "resin | garage | 2026-06-01 | 1 | 0.1 | 0.2"
    assert sheet.units_counted == 4


DECISIONS = """
name = "notes of the meeting"
files = ["*"]
kind = "table"
record = "decisions"
header = ["Material", "Decision"]
[columns]
"Material" = "material"
"Decision" = "decision"
{constants}
"""


@pytest.mark.parametrize(
    ("constants", "read_count"), [("", 1), ('[constants]\ndecision = "keep"', 2)]
)
def test_a_mapping_may_say_what_a_blank_decision_is(
    tmp_path: Path, constants: str, read_count: int
) -> None:
    path = tmp_path / "copy"
    path.write_text("Material,Decision\nresin,set\nmat 450,\n", encoding="utf-8")
    mapping = parse_mapping(DECISIONS.format(constants=constants), "m.toml", RECORDS)

    (sheet,) = read_file(path, "meeting.csv", (mapping,), RECORDS).sheets

    assert sheet.rows["decisions"].height == read_count
    assert sheet.units_counted == 3
