"""The independent count, on sheets written by hand the way other programs write them."""

import zipfile
from pathlib import Path

import pytest

from pipelines.receiving.handed_over import ReadFile
from pipelines.receiving.reading import read_file
from schemas.records import RECORDS

MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
LINKS = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
SHARED = (
    "<si><t>job_ref</t></si><si><r><t>job_</t></r><r><t>type</t></r></si>"
    '<si><t>garage</t><rPh sb="0" eb="1"><t>spoken</t></rPh></si>'
    '<si><rPh sb="0" eb="1"><t>spoken</t></rPh></si>'
)
HEADING = '<row r="1"><c r="A1" t="s"><v>0</v></c><c r="B1" t="s"><v>1</v></c></row>'


def read(
    tmp_path: Path, rows: str, target: str = "worksheets/sheet1.xml", head: str = ""
) -> ReadFile:
    path = tmp_path / "copy.xlsx"
    with zipfile.ZipFile(path, "w") as archive:
        archive.writestr(
            "[Content_Types].xml",
            f'<Types xmlns="{PACKAGE}/content-types">'
            '<Default Extension="xml" ContentType="application/xml"/></Types>',
        )
        archive.writestr(
            "_rels/.rels",
            f'<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="rId1" '
            f'Type="{LINKS}/officeDocument" Target="xl/workbook.xml"/></Relationships>',
        )
        archive.writestr(
            "xl/workbook.xml",
            f'<workbook xmlns="{MAIN}" xmlns:r="{LINKS}"><sheets>'
            '<sheet name="jobs" sheetId="1" r:id="rId1"/></sheets></workbook>',
        )
        archive.writestr(
            "xl/_rels/workbook.xml.rels",
            f'<Relationships xmlns="{PACKAGE}/relationships">'
            f'<Relationship Id="rId1" Type="{LINKS}/worksheet" Target="{target}"/>'
            f'<Relationship Id="rId2" Type="{LINKS}/sharedStrings" Target="sharedStrings.xml"/>'
            "</Relationships>",
        )
        archive.writestr("xl/sharedStrings.xml", f'<sst xmlns="{MAIN}">{SHARED}</sst>')
        archive.writestr(
            "xl/worksheets/sheet1.xml",
            f'{head}<worksheet xmlns="{MAIN}"><sheetData>{rows}</sheetData></worksheet>',
        )
    return read_file(path, "book.xlsx", (), RECORDS)


@pytest.mark.parametrize("target", ["worksheets/sheet1.xml", "/xl/worksheets/sheet1.xml"])
def test_inline_rich_and_computed_texts_fill_a_row(tmp_path: Path, target: str) -> None:
    rows = (
        HEADING
        + '<row r="3"><c r="A3" t="inlineStr"><is><t>001</t></is></c>'
        + '<c r="B3" t="s"><v>2</v></c></row>'
        + '<row r="5"><c r="A5" t="str"><f>A1</f><v>002</v></c>'
        '<c r="B5" t="e"><v>#REF!</v></c></row>' + '<row r="6"><c r="A6"><v>7</v></c></row>'
    )
    (sheet,) = read(tmp_path, rows, target).sheets
    assert sheet.rows["jobs"].select("row_no", "job_ref", "job_type").rows() == [
        (3, "001", "garage"),
        (5, "002", "#REF!"),
        (6, "7", None),
    ]
    assert sheet.units_counted == 6


def test_cells_that_only_look_filled_do_not_make_a_last_row(tmp_path: Path) -> None:
    rows = (
        HEADING
        + '<row r="2"><c r="A2"><v>1</v></c></row>'
        + '<row r="3"><c r="A3" s="1"/></row>'
        + '<row r="4"><c r="A4" t="str"><f>""</f><v></v></c></row>'
        + '<row r="5"><c r="A5" t="s"><v>3</v></c></row>'
        + '<row r="6"><c r="A6" t="inlineStr"><is><t xml:space="preserve">  </t></is></c></row>'
    )
    (sheet,) = read(tmp_path, rows).sheets
    assert (sheet.units_counted, sheet.rows["jobs"].height) == (2, 1)


def test_rows_out_of_order_are_damage_not_a_guess(tmp_path: Path) -> None:
    rows = (
        HEADING + '<row r="5"><c r="A5"><v>1</v></c></row><row r="2"><c r="A2"><v>1</v></c></row>'
    )
    file = read(tmp_path, rows)
    assert [fault.why for fault in file.faults] == ["the workbook is damaged or only half there"]


def test_a_sheet_that_points_at_other_files_is_refused(tmp_path: Path) -> None:
    (tmp_path / "secret").write_text("secret")
    head = f'<!DOCTYPE worksheet [<!ENTITY x SYSTEM "{(tmp_path / "secret").as_uri()}">]>'
    rows = HEADING + '<row r="2"><c r="A2" t="inlineStr"><is><t>&x;</t></is></c></row>'
    file = read(tmp_path, rows, head=head)
    assert file.sheets == ()
    assert [fault.why for fault in file.faults] == ["the workbook is damaged or only half there"]
