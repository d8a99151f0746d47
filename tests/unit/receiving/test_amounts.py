"""Figures as a source writes them: decimal mark, VAT taken out, credits above or below nothing."""

import csv
import json
from pathlib import Path

import polars as pl
import pytest

from pipelines.receiving.handed_over import ReadFile
from pipelines.receiving.mapping_files import parse_mapping
from pipelines.receiving.reading import read_file
from pipelines.receiving.written_figures import plain_figures
from schemas.records import RECORDS

MAPPING = """
name = "timber yard"
files = ["yard*"]
kind = "table"
record = "purchases"
header = ["Item", "Amount"]
{more}
[columns]
"Doc" = "document_no"
"Type" = "document_type"
"Item" = "description"
"Qty" = "packs"
"Each" = "pack_price_gbp"
"Amount" = "line_net_gbp"
"VAT" = "vat_pct"
[constants]
supplier = "Yard of the valley"
{tables}
"""
Lines = list[list[str]]


def read(tmp_path: Path, lines: Lines, more: str, tables: str = "") -> ReadFile:
    path = tmp_path / "copy"
    with path.open("w", newline="") as stream:
        csv.writer(stream, delimiter=";").writerows(lines)
    mapping = parse_mapping(MAPPING.format(more=more, tables=tables), "yard.toml", RECORDS)
    file = read_file(path, "yard.csv", [mapping], RECORDS)
    (sheet,) = file.sheets
    assert sheet.units_counted == sheet.rows["purchases"].height + len(sheet.skipped)
    return file


def rows(file: ReadFile) -> pl.DataFrame:
    assert file.faults == ()
    return file.sheets[0].rows["purchases"]


@pytest.mark.parametrize(
    ("cell", "mark", "typed", "plain"),
    [
        ("1.234,50", ",", True, "1234.50"), ("12,5", ",", True, "12.5"), ("-7", ",", True, "-7"),
        ("£ 1.234", ",", False, "£ 1234"), ("1.234", ",", True, None), ("12.5", ",", False, None),
        ("1,234.50", ",", False, None), ("12 x 2,5 kg", ",", False, "12 x 2.5 kg"),
        ("1,234", ".", True, "1234"), ("12,5", ".", False, None), ("1.234", ".", True, "1.234"),
    ],
)  # fmt: skip
def test_the_decimal_mark_is_the_sources(
    cell: str, mark: str, *, typed: bool, plain: str | None
) -> None:
    assert plain_figures(cell, "," if mark == "," else ".", typed=typed) == plain


def test_a_figure_in_another_mark_is_refused_not_guessed(tmp_path: Path) -> None:
    lines = [
        ["Item", "Amount"],
        ["Batten 4,8 m", "1.234,50"],
        ["Nails", "12.5"],
        ["Total", "1.247"],
    ]
    totals = '[totals]\nwhere = { Item = "Total" }\nsums = ["Amount"]'
    file = read(tmp_path, lines, 'decimal_mark = ","', totals)
    assert rows(file).select("description", "line_net_gbp", "fault").rows() == [
        ("Batten 4,8 m", "1234.50", None),
        ("Nails", "12.5", ('"12.5" in line_net_gbp is not written with a decimal comma, as this '
         "source writes")),
    ]  # fmt: skip
    assert file.sheets[0].skipped[-1].why == 'totals, "Amount" not checked: row 3 has "12.5"'


VAT: Lines = [
    ["Doc", "Item", "Each", "Amount", "VAT"],
    ["81", "Batten", "12.00", "96.00", "20"],
    ["81", "Gloves", "", "6.00", "20%"],
    ["81", "Book", "", "10.00", "0"],
    ["82", "Batten", "", "0.99", "20"],
    ["82", "Batten", "", "0.99", "20"],
    ["82", "Batten", "", "0.99", "20"],
    ["83", "Batten", "", "96.00", "0.2"],
    ["84", "Batten", "", "96.00", ""],
]


def test_vat_is_taken_out_where_it_divides_out_to_the_penny(tmp_path: Path) -> None:
    found = rows(read(tmp_path, VAT, "vat_included = true"))
    assert found.select("document_no", "pack_price_gbp", "line_net_gbp").rows()[:3] == [
        ("81", "10", "80.00"), ("81", None, "5.00"), ("81", None, "10.00"),
    ]  # fmt: skip
    assert found["fault"].to_list()[:3] == [None] * 3
    assert json.loads(found["mended"][0]) == [
        ["pack_price_gbp", "12.00", "10", "VAT taken out"],
        ["line_net_gbp", "96.00", "80.00", "VAT taken out"],
    ]
    assert found["mended"].to_list()[2:] == [None] * 6
    assert found["fault"][3] == (
        "VAT of 20 % does not divide out to the penny: the lines come to 2.97 with it, and to "
        "2.49 without, which makes 2.99"
    )
    assert found["line_net_gbp"].to_list()[3:] == ["0.99"] * 3 + ["96.00"] * 2
    for fault in found["fault"].to_list()[6:]:
        assert fault.startswith("the prices hold VAT, and a line of the document has no plain rate")


CREDITS: Lines = [
    ["Doc", "Type", "Item", "Qty", "Amount"],
    ["91", "credit", "Batten", "2", "24.00"],
    ["91", "credit", "Handling", "", "-4.00"],
    ["92", "", "Batten", "1", "12.00"],
    ["93", "", "Batten", "-1", "-12.00"],
    ["94", "credit", "Batten", "-1", "-12.00"],
]


def test_credits_written_above_nothing_are_turned(tmp_path: Path) -> None:
    found = rows(read(tmp_path, CREDITS, 'credits = "positive"'))
    assert found.select("document_type", "packs", "line_net_gbp").rows() == [
        ("credit", "-2", "-24.00"), ("credit", None, "4.00"), (None, "1", "12.00"),
        (None, "-1", "-12.00"), ("credit", "-1", "-12.00"),
    ]  # fmt: skip
    assert found["fault"].to_list() == [None] * 4 + [
        "a credit that comes to -12.00, where this source's are positive"
    ]


def test_a_document_below_nothing_is_a_credit_where_the_source_says_so(tmp_path: Path) -> None:
    found = rows(read(tmp_path, CREDITS, 'credits = "negative"'))
    assert found["document_type"].to_list() == ["credit", "credit", None, "credit", "credit"]
    assert (
        found["fault"].to_list()
        == ["a credit that comes to 20.00, where this source's are negative"] * 2 + [None] * 3
    )
