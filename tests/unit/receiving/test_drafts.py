"""Drafts of mappings: they load as they are, and what is seen of the file stands in them."""

from pathlib import Path

import pytest
import xlsxwriter

from pipelines.receiving.drafts import Evidence, draft_mapping
from pipelines.receiving.looking import look_at
from pipelines.receiving.mapping_files import parse_mapping
from pipelines.receiving.mappings import fit_mapping
from pipelines.receiving.reading import read_file
from schemas.records import RECORDS

LINES = """Yard of the valley;;;
Your account;4711;;
Invoice no;Date;Item "long";Amount
1;23/05/2026;Batten;12.00
2;24/05/2026;Board;44.00
"""


def test_the_heading_and_the_columns_are_seen_below_titles(tmp_path: Path) -> None:
    path = tmp_path / "copy"
    path.write_text(LINES)
    (sheet,) = look_at(path, "yard [1].csv")
    assert (sheet.row_count, sheet.heading_row_no) == (5, 3)
    assert [(column.heading, column.cells) for column in sheet.columns] == [
        ("Invoice no", ("1", "2")),
        ("Date", ("23/05/2026", "24/05/2026")),
        ('Item "long"', ("Batten", "Board")),
        ("Amount", ("12.00", "44.00")),
    ]


def test_a_draft_loads_fits_its_file_and_books_nothing_unfinished(tmp_path: Path) -> None:
    path = tmp_path / "copy"
    path.write_text(LINES)
    name = "yard [1].csv"
    text = draft_mapping(name, look_at(path, name), Evidence("dmy", "."))
    mapping = parse_mapping(text, "yard.toml", RECORDS)
    assert fit_mapping(name, [mapping]) == mapping
    assert '# "Item \\"long\\"" = "TO FINISH"' in text
    file = read_file(path, name, [mapping], RECORDS)
    frame = file.sheets[0].rows["purchases"]
    assert frame.select("document_no", "line_net_gbp", "supplier", "date_order").rows() == [
        ("1", "12.00", None, "dmy"),
        ("2", "44.00", None, "dmy"),
    ]


def test_a_sheet_without_a_heading_is_drafted_as_a_form(tmp_path: Path) -> None:
    path = tmp_path / "copy.xlsx"
    book = xlsxwriter.Workbook(path)
    sheet = book.add_worksheet("quote")
    for row, cells in enumerate((("Roof area:", "24"), (), ("Price", "1850"))):
        sheet.write_row(row, 0, cells)
    book.close()
    seen = look_at(path, "quote.xlsx")
    assert [(each.heading_row_no, each.labels) for each in seen] == [(0, ("Roof area", "Price"))]
    text = draft_mapping("quote.xlsx", seen, Evidence(None, None))
    assert parse_mapping(text, "quote.toml", RECORDS).kind == "form"
    assert '# "Price" = "TO FINISH"' in text


@pytest.mark.parametrize("name", ["a.csv", "b.tsv", "c.txt"])
def test_any_text_table_gives_a_draft_that_loads(tmp_path: Path, name: str) -> None:
    for number, text in enumerate(
        ("x\n", "a,b\n1,2\n", "only words\nmore words\n", "7\t8\n9\t1\n")
    ):
        path = tmp_path / f"{number}"
        path.write_text(text)
        draft = draft_mapping(name, look_at(path, name), Evidence(None, None))
        assert parse_mapping(draft, "m.toml", RECORDS).files


def test_what_is_no_table_is_not_looked_into(tmp_path: Path) -> None:
    path = tmp_path / "copy"
    path.write_bytes(b"%PDF-1.7 ...")
    assert look_at(path, "invoice.pdf") == ()
