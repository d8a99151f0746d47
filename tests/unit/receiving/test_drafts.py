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
from tests.support.pdf_papers import HEADING, new_pdf, write_invoice, write_line

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
    path.write_bytes(b"\xff\xd8\xff ...")
    assert look_at(path, "invoice.jpg") == ()


def test_a_draft_for_a_pdf_loads_and_asks_for_what_proves_it(tmp_path: Path) -> None:
    path = write_invoice(tmp_path / "peatmoor.pdf")
    seen = look_at(path, path.name)
    assert [column.heading for column in seen[0].columns] == list(HEADING)
    text = draft_mapping(path.name, seen, Evidence("dmy", "."))
    mapping = parse_mapping(text, "peatmoor.toml", RECORDS)
    assert (mapping.kind, mapping.date_order) == ("pdf", "dmy")
    file = read_file(path, path.name, [mapping], RECORDS)
    # the sum before VAT and the VAT still count as lines: 2,452.00 + 2,452.00 + 490.40
    assert file.faults[0].why.startswith("the lines come to 5,394.40")

    finished = text.replace('# vat = "vat*"', 'vat = "vat*"').replace(
        '# net = "net*"', 'net = "goods"'
    )
    finished = finished.replace("# find", "find")
    finished = finished.replace(r"(?P<document_no>\S+)', 'Date", r"(?P<document_no>\S+) Date")
    finished = finished.replace('# supplier = "TO FINISH"', 'supplier = "Peatmoor"')
    mapping = parse_mapping(finished, "peatmoor.toml", RECORDS)
    file = read_file(path, path.name, [mapping], RECORDS)
    assert file.faults == ()
    names = ("document_no", "document_on", "supplier", "packs", "line_net_gbp")
    assert file.sheets[0].rows["purchases"].select(names).rows() == [
        ("PF-1071", "12/03/2025", "Peatmoor", "6", "252.00"),
        ("PF-1071", "12/03/2025", "Peatmoor", "2", "2200.00"),
    ]


def test_a_pdf_without_a_heading_is_drafted_by_a_pattern_of_its_lines(tmp_path: Path) -> None:
    pdf = new_pdf()
    pdf.add_page()
    write_line(pdf, 20, "two tins of resin 84.00")
    pdf.output(str(tmp_path / "bill.pdf"))
    seen = look_at(tmp_path / "bill.pdf", "bill.pdf")
    mapping = parse_mapping(draft_mapping("bill.pdf", seen, Evidence(None, None)), "m", RECORDS)
    assert mapping.pdf is not None
    assert len(mapping.pdf.lines) == 1
