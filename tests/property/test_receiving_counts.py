"""Whatever is handed in: every row is a record's or skipped, and no bytes stop the reader."""

import csv
import io
import tempfile
from pathlib import Path

import openpyxl
import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.receiving.handed_over import ReadFile
from pipelines.receiving.mapping_files import parse_mapping
from pipelines.receiving.reading import read_file
from schemas.records import RECORDS

HEADING = ["Job", "Type", "Resin", "Rack"]
TABLE = """
name = "table"
files = ["*"]
kind = "table"
record = "jobs"
header = ["Job", "Type"]
[columns]
"Job" = "job_ref"
"Type" = "job_type"
"Resin" = "notes"
"""
WIDE = """
name = "wide"
files = ["*"]
kind = "wide"
header = ["Job", "Type"]
[[records]]
record = "jobs"
[records.keys]
"Job" = "job_ref"
[records.cells]
"Type" = "job_type"
[[records]]
record = "job_materials"
[records.keys]
"Job" = "job_ref"
[records.cells]
"Resin" = "issued_quantity"
[[records]]
record = "offcuts"
list = "Rack"
[records.cells]
"Rack" = "length_mm"
"""
MAPPINGS = [parse_mapping(said, "m.toml", RECORDS) for said in (TABLE, WIDE)]

cells = st.one_of(
    st.sampled_from(["", "", " ", "\u00a0", "1,200", "850; 700", 'a "b"', '"', "x\ny", "Job", ","]),
    st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=6),
)
ragged_rows = st.lists(st.lists(cells, max_size=6), max_size=12)
typed_cells = st.one_of(cells, st.integers(-9, 99999), st.booleans(), st.none())
sheet_rows = st.lists(st.lists(typed_cells, max_size=5) | st.just(HEADING), max_size=12)


def read(content: bytes, name: str, mapping_no: int | None) -> ReadFile:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "copy"
        path.write_bytes(content)
        mappings = [] if mapping_no is None else [MAPPINGS[mapping_no]]
        return read_file(path, name, mappings, RECORDS)


def assert_all_rows_accounted_for(file: ReadFile) -> None:
    assert file.faults == ()
    for sheet in file.sheets:
        rows = [frame.height for frame in sheet.rows.values()]
        assert sheet.units_counted == sum(rows) + len(sheet.skipped)
        numbers = {row.row_no for row in sheet.skipped}
        numbers.update(no for frame in sheet.rows.values() for no in frame["row_no"])
        assert len(numbers) >= len(sheet.skipped)


@settings(max_examples=150, deadline=None)
@given(ragged_rows, ragged_rows, st.sampled_from(",;\t|"), st.sampled_from([0, 1]))
def test_csv_rows_are_all_accounted_for(
    above: list[list[str]], below: list[list[str]], delimiter: str, mapping_no: int
) -> None:
    text = io.StringIO()
    csv.writer(text, delimiter=delimiter).writerows([*above, HEADING, *below])
    content = text.getvalue().encode()
    assert_all_rows_accounted_for(read(content, "x.csv", mapping_no))


@settings(max_examples=150, deadline=None)
@given(st.text(st.sampled_from('ab",;\n\r \t'), max_size=40), st.sampled_from([0, 1]))
def test_csv_text_of_any_quoting_counts_the_same_or_is_a_fault(text: str, mapping_no: int) -> None:
    file = read(f"Job,Type,Resin,Rack\n{text}".encode(), "x.csv", mapping_no)
    if not file.faults:
        assert_all_rows_accounted_for(file)


@settings(max_examples=60, deadline=None)
@given(sheet_rows, sheet_rows, st.integers(0, 3), st.sampled_from([0, 1]))
def test_workbook_rows_are_all_accounted_for(
    above: list[list[object]], below: list[list[object]], left: int, mapping_no: int
) -> None:
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream, {"strings_to_formulas": False, "strings_to_urls": False})
    sheet = book.add_worksheet()
    rows = [*above, HEADING, *below]
    for at, line in enumerate(rows):
        sheet.write_row(at, left, line)
    book.close()
    file = read(stream.getvalue(), "x.xlsx", mapping_no)
    assert_all_rows_accounted_for(file)
    if mapping_no == 0:
        assert file.sheets[0].units_counted == last_filled_row(stream)


def last_filled_row(stream: io.BytesIO) -> int:
    sheet = openpyxl.load_workbook(stream).worksheets[0]
    filled = [
        cell.row
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None and str(cell.value).strip()
    ]
    return max(filled)


@settings(max_examples=150, deadline=None)
@given(
    st.binary(max_size=200),
    st.sampled_from([b"", b"PK\x03\x04", b"\xff\xfe", b"job_ref,job_type\n"]),
    st.sampled_from(["x.csv", "x.xlsx", "jobs.csv", "jobs.xlsm", "x", "x.pdf"]),
    st.sampled_from([None, 0, 1]),
)
def test_arbitrary_bytes_never_raise(
    content: bytes, head: bytes, name: str, mapping_no: int | None
) -> None:
    file = read(head + content, name, mapping_no)
    assert bool(file.sheets) != bool(file.faults)


def whole_workbook() -> bytes:
    stream = io.BytesIO()
    book = xlsxwriter.Workbook(stream)
    sheet = book.add_worksheet("jobs")
    sheet.write_row("A1", ["job_ref", "job_type"])
    sheet.write_row("A2", ["001", "garage"])
    book.close()
    return stream.getvalue()


WHOLE = whole_workbook()


@settings(max_examples=150, deadline=None)
@given(st.integers(0, len(WHOLE) - 1), st.binary(min_size=1, max_size=8))
def test_a_damaged_workbook_never_raises(at: int, bytes_in: bytes) -> None:
    file = read(WHOLE[:at] + bytes_in + WHOLE[at + len(bytes_in) :], "jobs.xlsx", None)
    for sheet in file.sheets:
        rows = sum(frame.height for frame in sheet.rows.values())
        assert sheet.units_counted == rows + len(sheet.skipped)
