"""Mappings: what they may say, and what is said back where they say something else."""

from pathlib import Path

import pytest

from pipelines.errors import MappingError
from pipelines.receiving.handed_over import Unreadable
from pipelines.receiving.mapping_files import load_mappings, parse_mapping
from pipelines.receiving.mappings import fit_mapping
from schemas.records import RECORDS

TABLE = """
name = "resin invoices"
files = ["quayside*.csv"]
kind = "table"
record = "purchases"
header = ["Invoice", "Net"]
[columns]
"Invoice" = "document_no"
"Net" = "line_net_gbp"
"""
WIDE = """
name = "job cards"
files = ["cards*.xlsx"]
kind = "wide"
header = ["Job"]
[[records]]
record = "jobs"
[records.keys]
"Job" = "job_ref"
[records.cells]
"Type" = "job_type"
"""


def test_a_table_keeps_its_headings_folded() -> None:
    mapping = parse_mapping(TABLE, "resin.toml", RECORDS)
    assert mapping.parts[0].columns == {"invoice": "document_no", "net": "line_net_gbp"}
    assert (mapping.required, mapping.sheets) == (("Invoice", "Net"), ("*",))


@pytest.mark.parametrize(
    ("said", "message"),
    [
        (TABLE + "[bogus]\n", 'm.toml: "bogus" is not known; allowed: columns, constants, credi'),
        (TABLE.replace('"purchases"', '"bills"'), 'm.toml: "record" must be one of materials, '),
        (TABLE.replace('"line_net_gbp"', '"net"'), 'm.toml: "columns" names the column "net", w'),
        (TABLE.replace('"table"', '"list"'), 'm.toml: "kind" must be one of table, wide, form'),
        (TABLE.replace('["quayside*.csv"]', '"q"'), 'm.toml: "files" must be a list of texts; it'),
        (TABLE + "[constants]\npacks = 1\n", 'm.toml: "constants."packs"" must be a text in quo'),
        (TABLE + '[words.colour]\n"x" = "y"\n', 'm.toml: "words" names the column "colour", wh'),
        (TABLE + '[descriptions.Tin]\nsize = "2"\n', 'm.toml: "descriptions."Tin"" names the co'),
        (TABLE + '[totals]\nsums = ["Net"]\n', 'm.toml: "totals.where" must be a heading and th'),
        (TABLE.replace("files", "file_s"), 'm.toml: "file_s" is not known; allowed: columns, co'),
        ('date_order = "dd"' + TABLE, 'm.toml: "date_order" must be one of dmy, mdy, ymd; it says'),
        (WIDE.replace("records.cells", "records.cels"), 'm.toml: "records 1.cels" is not known;'),
        (WIDE.replace('"job_type"', '"kind"'), 'm.toml: "records 1.cells" names the column "kind'),
        (WIDE.replace("[records.keys]", 'list = "Rack"\n[records.keys]'), 'm.toml: "records 1.li'),
        (WIDE.split("[[", 1)[0], 'm.toml: "records" must be one [[records]] or more; it says noth'),
        ("name = ", "m.toml: not readable as TOML: "),
    ],
)
def test_what_a_mapping_must_not_say_names_file_and_key(said: str, message: str) -> None:
    with pytest.raises(MappingError) as caught:
        parse_mapping(said, "m.toml", RECORDS)
    assert str(caught.value).startswith(message)
    assert "\n" not in str(caught.value)


def test_a_mapping_fits_by_name_in_any_case(tmp_path: Path) -> None:
    (tmp_path / "b.toml").write_text(TABLE)
    (tmp_path / "a.toml").write_text(WIDE)
    mappings = load_mappings(tmp_path, RECORDS)
    assert [mapping.name for mapping in mappings] == ["job cards", "resin invoices"]
    assert fit_mapping("Quayside May.CSV", mappings) == mappings[1]
    assert fit_mapping("stock.csv", mappings) is None


def test_two_mappings_that_fit_are_both_named() -> None:
    one = parse_mapping(TABLE, "one.toml", RECORDS)
    two = parse_mapping(TABLE.replace("resin invoices", "all bills"), "two.toml", RECORDS)
    with pytest.raises(Unreadable) as caught:
        fit_mapping("quayside.csv", [one, two])
    assert caught.value.fault.why == (
        'the mappings "resin invoices" and "all bills" both fit this file\'s name'
    )
