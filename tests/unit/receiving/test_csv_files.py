"""CSV as firms hand it in: encodings, delimiters, quotes, ragged rows, true line numbers."""

import json
from pathlib import Path

import polars as pl
import pytest

from pipelines.receiving.handed_over import ReadFile
from pipelines.receiving.reading import read_file
from schemas.records import RECORDS


def read(tmp_path: Path, content: bytes | str, name: str = "jobs.csv") -> ReadFile:
    path = tmp_path / "copy"
    path.write_bytes(content.encode() if isinstance(content, str) else content)
    return read_file(path, name, (), RECORDS)


def jobs(file: ReadFile) -> pl.DataFrame:
    (sheet,) = file.sheets
    assert sheet.units_counted == sheet.rows["jobs"].height + len(sheet.skipped)
    return sheet.rows["jobs"]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "cp1252"])
def test_encodings_come_to_the_same_text(tmp_path: Path, encoding: str) -> None:
    text = 'job_ref,job_type,notes\n001,garage,"20 m², £5 deposit"\n'
    frame = jobs(read(tmp_path, text.encode(encoding)))
    assert frame["notes"].to_list() == ["20 m², £5 deposit"]


@pytest.mark.parametrize("delimiter", [",", ";", "\t", "|"])
def test_the_heading_proves_the_delimiter(tmp_path: Path, delimiter: str) -> None:
    rows = ["a, b; c and more; and, more", "job_ref,job_type,notes", '001,garage,"x"']
    text = "\n".join([rows[0].replace(",", "."), *(r.replace(",", delimiter) for r in rows[1:])])
    frame = jobs(read(tmp_path, text))
    assert frame.select("job_ref", "job_type", "notes").rows() == [("001", "garage", "x")]


def test_text_stays_as_it_stands_and_blank_is_null(tmp_path: Path) -> None:
    frame = jobs(read(tmp_path, 'job_ref,job_type,crew,notes\n001, garage ,  ,"say ""yes"""\n'))
    assert frame.select("job_ref", "job_type", "crew", "notes").rows() == [
        ("001", " garage ", None, 'say "yes"')
    ]
    assert set(frame.schema.values()) == {pl.String(), pl.Int64()}
    assert frame.columns == [
        "sheet", "row_no", "part_no", *RECORDS["jobs"].columns, "row_text", "date_order", "fault",
        "mended",
    ]  # fmt: skip


def test_row_numbers_are_line_numbers_and_every_row_is_accounted_for(tmp_path: Path) -> None:
    text = (
        "Jobs of May\n\njob_ref,job_type,notes\n"
        '001,garage,"two\nlines"\n\n'
        "Job_Ref, job_type ,notes\n002,bay,\n,,\n\n"
    )
    file = read(tmp_path, text)
    assert jobs(file)["row_no"].to_list() == [4, 8]
    assert [(row.row_no, row.why) for row in file.sheets[0].skipped] == [
        (1, "title"),
        (2, "blank"),
        (3, "heading"),
        (6, "blank"),
        (7, "heading repeated"),
    ]
    assert file.sheets[0].units_counted == 7


@pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
def test_line_endings_of_every_system(tmp_path: Path, ending: str) -> None:
    text = ending.join(["job_ref,job_type", "001,garage", "002,bay"])
    assert jobs(read(tmp_path, text))["row_no"].to_list() == [2, 3]


def test_ragged_rows_are_kept_whole_with_their_fault(tmp_path: Path) -> None:
    text = "job_ref,job_type,notes\n1,garage,a,b,c\n2,bay\n3,bay,x,,\n4,bay,y\n"
    frame = jobs(read(tmp_path, text))
    assert frame["fault"].to_list() == [
        "the row has 5 cells, the heading 3",
        "the row has 2 cells, the heading 3",
        None,
        None,
    ]
    assert json.loads(frame["row_text"][0]) == {
        "job_ref": "1", "job_type": "garage", "notes": "a", "column 4": "b", "column 5": "c",
    }  # fmt: skip


def test_rows_swallowed_by_a_stray_quote_do_not_pass(tmp_path: Path) -> None:
    text = 'job_ref,job_type,crew,notes\n1,bay,van,"12\n2,bay,van,x\n3,bay,van,"y\n4,bay,van,z\n'
    frame = jobs(read(tmp_path, text))
    assert frame["row_no"].to_list() == [2, 5]
    assert frame["fault"].to_list() == [
        "a quote mark has swallowed the rows below into one cell",
        None,
    ]


def test_a_quote_never_closed_names_its_line(tmp_path: Path) -> None:
    file = read(tmp_path, 'job_ref,job_type,notes\n1,bay,x\n2,bay,"12 inch\n3,bay,y\n')
    assert file.sheets == ()
    assert file.faults[0].why == "a quote mark in the row that starts on line 3 is never closed"


@pytest.mark.parametrize(
    ("content", "why"),
    [
        (b"job_ref,job_type\n\x81,bay\n", "the file is neither UTF-8 nor Windows-1252 text"),
        ("job_ref,job_type\n".encode("utf-16"), "the file is saved as Unicode text (UTF-16)"),
        (b"job_ref,job_type\n\x00,bay\n", "the file holds bytes that are not text"),
        (b"\n \n", "the file is empty"),
    ],
)
def test_what_is_not_text_is_a_fault(tmp_path: Path, content: bytes, why: str) -> None:
    file = read(tmp_path, content)
    assert (file.sheets, [fault.why for fault in file.faults]) == ((), [why])


def test_swapped_columns_are_read_by_name(tmp_path: Path) -> None:
    frame = jobs(read(tmp_path, "job_type,job_ref\ngarage,001\n"))
    assert frame.select("job_ref", "job_type").rows() == [("001", "garage")]


def test_a_doubled_heading_that_counts_is_a_fault_another_is_not(tmp_path: Path) -> None:
    file = read(tmp_path, "job_ref,job_type,JOB_REF\n1,bay,2\n")
    assert file.faults[0].why == 'the heading "job_ref" stands over two columns'
    frame = jobs(read(tmp_path, "job_ref,job_type,Tel,Tel\n1,bay,2,3\n"))
    assert json.loads(frame["row_text"][0])["Tel (column 4)"] == "3"


def test_a_missing_column_is_named_with_what_was_found(tmp_path: Path) -> None:
    file = read(tmp_path, "job_ref,type,Colour\n1,bay,grey\n")
    assert file.faults[0].why == (
        'the heading in row 1 lacks "job_type"; it has "job_ref", "type", "Colour"'
    )


def test_an_unknown_column_is_noted(tmp_path: Path) -> None:
    file = read(tmp_path, "job_ref,job_type,Colour code\n1,bay,grey\n")
    assert file.notes == ('column "Colour code" is not used',)
    assert "Colour code" in jobs(file)["row_text"][0]


@pytest.mark.parametrize(
    ("name", "record"),
    [
        ("2026-05 stock counts.csv", "stock_counts"),
        ("stock_counts.csv", "stock_counts"),
        ("Job_Materials May.csv", "job_materials"),
        ("what we use.csv", "materials"),
    ],
)
def test_the_record_is_told_by_name_else_by_heading(tmp_path: Path, name: str, record: str) -> None:
    required = RECORDS[record].required
    text = ",".join(required) + "\n" + ",".join("x" for _ in required) + "\n"
    assert list(read(tmp_path, text, name).sheets[0].rows) == [record]


def test_a_heading_that_fits_no_record_says_so(tmp_path: Path) -> None:
    file = read(tmp_path, "when,who\n1,2\n", "diary.csv")
    assert file.faults[0].why == "neither the name nor the heading says which record this is"


def test_a_heading_that_fits_several_records_names_them(tmp_path: Path) -> None:
    text = "supplier,material,pack_size\nQuayside Resins,resin,20\n"
    both = {name: RECORDS[name] for name in ("suppliers", "prices")}
    twice = {**both, "price_lists": both["prices"]}
    path = tmp_path / "copy"
    path.write_text(text.replace("pack_size", "pack_size,pack_price_gbp"))
    file = read_file(path, "list.csv", (), twice)
    assert file.faults[0].why == "the heading fits several records: prices, price_lists"
