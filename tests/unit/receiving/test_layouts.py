"""Other trades' exports: several tables, titles, cancelled lines, shared cells, descriptions."""

import csv
import time
from pathlib import Path

import polars as pl
import pytest
import xlsxwriter

from pipelines.errors import MappingError
from pipelines.receiving.handed_over import ReadFile
from pipelines.receiving.mapping_files import parse_mapping
from pipelines.receiving.reading import read_file
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


def read(
    tmp_path: Path, lines: Lines, more: str = "", tables: str = "", name: str = "yard.csv"
) -> ReadFile:
    path = tmp_path / "copy"
    if name.endswith("csv"):
        with path.open("w", newline="") as stream:
            csv.writer(stream, delimiter=";").writerows(lines)
    else:
        book = xlsxwriter.Workbook(path)
        sheet = book.add_worksheet("lines")
        for at, line in enumerate(lines):
            sheet.write_row(at, 0, [cell or None for cell in line])
        book.close()
    mapping = parse_mapping(MAPPING.format(more=more, tables=tables), "yard.toml", RECORDS)
    file = read_file(path, name, [mapping], RECORDS)
    for each in file.sheets:
        made = sum(frame.height for frame in each.rows.values())
        assert each.units_counted == made + len(each.skipped)
    return file


def rows(file: ReadFile) -> pl.DataFrame:
    assert file.faults == ()
    return file.sheets[0].rows["purchases"]


SEVERAL: Lines = [
    ["The yard", "", ""],
    ["Invoice no:", "4711", ""],
    ["Item", "Qty", "Amount"],
    ["Batten 4.8 m", "10", "52.00"],
    ["Nails 2.5 kg", "2", "18.00"],
    ["", "", ""],
    ["Total", "", "70.00"],
    ["Thank you", "", ""],
    ["Invoice no", "4712", ""],
    ["Item", "Amount", "Qty"],
    ["Batten 4.8 m", "26.00", "5"],
    ["", "", ""],
    ["Deck board", "44.00", "2"],
]
ENDS = 'several_tables = true\nends_at = "blank row"'
TITLE = (
    '[title]\n"Invoice no" = "document_no"\n[totals]\nwhere = { Item = "Total" }\nsums = ["Amount"]'
)


def test_each_table_has_its_own_heading_and_title(tmp_path: Path) -> None:
    file = read(tmp_path, SEVERAL, ENDS, TITLE)
    assert rows(file).select("row_no", "document_no", "packs", "line_net_gbp").rows() == [
        (4, "4711", "10", "52.00"),
        (5, "4711", "2", "18.00"),
        (11, "4712", "5", "26.00"),
        (13, "4712", "2", "44.00"),
    ]
    assert rows(file)["fault"].to_list() == [
        None, None, None,
        "stands below the table's end, yet looks like a line of it: take the blank row out",
    ]  # fmt: skip
    assert [(row.row_no, row.why) for row in file.sheets[0].skipped] == [
        (1, "title"), (2, "title"), (3, "heading"), (6, "blank"),
        (7, "totals, 70.00 agrees with the sum"), (8, "outside the table"),
        (9, "outside the table"), (10, "heading"), (12, "blank"),
    ]  # fmt: skip


def test_tables_under_one_another_without_a_blank_row(tmp_path: Path) -> None:
    lines = [SEVERAL[2], SEVERAL[3], SEVERAL[9], SEVERAL[10]]
    file = read(tmp_path, lines, "several_tables = true", name="yard.xlsx")
    assert rows(file).select("packs", "line_net_gbp").rows() == [("10", "52.00"), ("5", "26.00")]


def test_cancelled_lines_are_skipped_and_listed(tmp_path: Path) -> None:
    lines = [["Item", "Amount", "State"], ["Batten", "5", ""], ["Batten", "5", "Cancelled 3 May"]]
    skip = '[[skip]]\nwhere = { State = "CANCELLED*" }\nwhy = "cancelled"'
    file = read(tmp_path, lines, tables=skip)
    assert rows(file).height == 1
    assert [(row.why, row.text) for row in file.sheets[0].skipped] == [
        ("heading", "Item | Amount | State"),
        ("cancelled", "Batten | 5 | Cancelled 3 May"),
    ]


SPLIT = r"""
[split."Item"]
patterns = [
    '(?P<packs>\d+) x (?P<material>.+?) @ (?P<pack_price_gbp>[\d.]+)',
    '(?P<line_kind>carriage).*',
]
"""


def test_fields_that_share_a_cell_are_parted_by_named_groups(tmp_path: Path) -> None:
    items = ["3 x  drip trim @ 12.50", "carriage to yard", "sundry bits"]
    file = read(tmp_path, [["Item", "Amount"], *([item, "37.50"] for item in items)], tables=SPLIT)
    names = ("description", "packs", "material", "pack_price_gbp", "line_kind")
    assert rows(file).select(names).rows() == [
        ("3 x  drip trim @ 12.50", "3", "drip trim", "12.50", None),
        ("carriage to yard", None, None, None, "carriage"),
        ("sundry bits", None, None, None, None),
    ]
    assert rows(file)["fault"].to_list() == [
        None, None, '"sundry bits" under "item" fits none of the patterns that part it',
    ]  # fmt: skip


def test_a_pattern_that_is_slow_elsewhere_takes_time_in_proportion(tmp_path: Path) -> None:
    slow = "[split.Item]\npatterns = ['(?P<packs>(?:a+)+)b']\nmust_match = false"
    begun = time.perf_counter()
    file = read(
        tmp_path, [["Item", "Amount"], ["a" * 20_000, "1"]], tables=slow.replace("(a+)+", "(?:a+)+")
    )
    assert rows(file)["packs"].to_list() == [None]
    assert time.perf_counter() - begun < 5


LIKE = """
[descriptions."Resin carriage paid 20 kg"]
material = "resin"
[[descriptions_like]]
like = "*resin*20*kg*"
material = "resin"
pack_size = "20"
unit = "kg"
[[descriptions_like]]
like = "*topcoat*"
material = "topcoat"
[[kinds]]
like = "*carriage*"
line_kind = "carriage"
"""


def test_patterns_name_material_packs_and_kind_of_line(tmp_path: Path) -> None:
    items = [
        "Laminating RESIN 20 kg tin", "Carriage, next day", "Resin carriage paid 20 kg",
        "resin 20 kg with carriage", "Resin topcoat 20 kg", "Brush",
    ]  # fmt: skip
    found = rows(
        read(tmp_path, [["Item", "Amount"], *([item, "1"] for item in items)], tables=LIKE)
    )
    assert found.select("material", "pack_size", "unit", "line_kind").rows() == [
        ("resin", "20", "kg", None), (None, None, None, "carriage"), ("resin", None, None, None),
        (None, None, None, None), (None, None, None, None), (None, None, None, None),
    ]  # fmt: skip
    assert [fault is not None for fault in found["fault"]] == [False] * 3 + [True] * 2 + [False]
    assert found["fault"][4] == (
        'the description "Resin topcoat 20 kg" fits "*resin*20*kg*" and "*topcoat*", '
        "which say different things of it"
    )


def test_a_row_skipped_for_a_word_in_a_repeated_cell_begins_no_block(tmp_path: Path) -> None:
    """Also where the number is the only cell that stands once, and no other column would tell."""
    lines = [
        ["Doc", "Item", "Amount", "State"],
        ["81", "cancelled brush", "3", "void"],
        ["", "resin", "5", ""],
        ["page 2", "", "", ""],
        ["", "brush", "2", ""],
        ["82", "brush", "1", ""],
    ]
    skips = (
        '[[skip]]\nwhere = {State = "void"}\nwhy = "void"\n'
        '[[skip]]\nwhere = {Doc = "page*"}\nwhy = "page"'
    )
    found = rows(read(tmp_path, lines, 'repeats = ["Doc"]', skips))

    assert found.select("document_no", "description").rows() == [
        ("81", "resin"), ("81", "brush"), ("82", "brush"),
    ]  # fmt: skip
    # the row is kept as it came; what was filled in is on record
    assert "81" not in found["row_text"][0]
    assert "written once for its rows, in row 2" in found["mended"][0]
    assert found["mended"][2] is None


@pytest.mark.parametrize(
    ("more", "tables", "message"),
    [
        ('ends_at = "row"', "", '"ends_at" must be one of blank row; it says'),
        ('decimal_mark = ";"', "", '"decimal_mark" must be one of ,, .; it says'),
        ('repeats = ["Date"]', "", '"repeats" must be headings of columns: amount, doc, each'),
        ("vat_included = 1", "", '"vat_included" must be true or false; it says 1'),
        ('credits = "minus"', "", '"credits" must be one of as stated, positive, negative; it'),
        ("", "[split.Item]\npatterns = ['(?P<packs>(']", '"split."Item".patterns" must be a patte'),
        ("", "[split.Item]\npatterns = ['a+']", '"split."Item".patterns" must be a pattern with g'),
        ("", "[split.Item]\npatterns = ['(?P<size>a)']", '"split."Item".patterns" names the colum'),
        ("", "[split.Item]\npattern = ['a']", '"split."Item".pattern" is not known; allowed: must'),
        ("", "[[skip]]\nwhy = 'x'", '"skip 1.where" must be a heading and the pattern of its cell'),
        ("", "[[kinds]]\nlike = '*'\nmaterial = 'x'", '"kinds 1.material" is not known; allowed: '),
        ("", "[[descriptions_like]]\nlike = '*'", '"descriptions_like 1" must be a pattern and wh'),
        ("", "[title]\nNo = 1", '"title."No"" must be a column, or a table with column and cell'),
        ("several = true", "", '"several" is not known; allowed: columns, constants, credits, dat'),
    ],
)  # fmt: skip
def test_a_key_that_is_not_known_names_file_key_and_what_is_allowed(
    more: str, tables: str, message: str
) -> None:
    with pytest.raises(MappingError) as caught:
        parse_mapping(MAPPING.format(more=more, tables=tables), "m.toml", RECORDS)
    assert str(caught.value).startswith(f"m.toml: {message}")
