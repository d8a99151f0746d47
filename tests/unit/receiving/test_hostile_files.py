"""Files made to harm or to mislead: refused or read in words, in little time and memory."""

import struct
import time
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter

from pipelines.receiving import limits
from pipelines.receiving.handed_over import ReadFile
from pipelines.receiving.reading import read_file
from schemas.records import RECORDS

JOBS = b"job_ref,job_type,notes\n2025-014,garage,"
MOST_SECONDS = 5
"""What reading a hostile file may take of a slow processor; each takes far less."""


@pytest.fixture
def read(tmp_path: Path) -> Iterator[Callable[[bytes, str], ReadFile]]:
    def reader(content: bytes, name: str = "jobs.csv") -> ReadFile:
        path = tmp_path / "copy"
        path.write_bytes(content)
        return read_file(path, name, (), RECORDS)

    begun = time.process_time()
    yield reader
    assert time.process_time() - begun < MOST_SECONDS


def why(file: ReadFile) -> str:
    (fault,) = file.faults
    assert fault.mend
    return fault.why


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (JOBS + b"x" * 200_000, "a cell in the row that starts on line 2 is longer than"),
        (b"x" * 30_000_000, "longer than any record's"),
        (b"," * 30_000_000, "the file has 30,000,001 columns"),
        (b",".join(b"c%d" % n for n in range(10_000)), "the file has 10,000 columns"),
        (JOBS + b'"' + b"a,b,c\n" * 40_000, "longer than any record's"),
        (JOBS + b"a\x00b\n", "bytes that are not text"),
        (JOBS + b"caf\xc3\xa9\n2025-015,garage,\xa345\n", "line 2 are UTF-8 and others"),
        (JOBS.decode().encode("utf-16"), "UTF-16"),
        (JOBS + b"\x81\x8d\n", "neither UTF-8 nor Windows-1252"),
    ],
    ids=["long cell", "long line", "commas", "columns", "open quote", "null byte", "mixed letters",
         "utf-16", "no letters"],
)  # fmt: skip
def test_text_that_is_no_table_of_a_firm(
    read: Callable[..., ReadFile], content: bytes, reason: str
) -> None:
    assert reason in why(read(content))


def test_a_line_of_a_gigabyte_is_refused_by_its_size(tmp_path: Path) -> None:
    path = tmp_path / "copy"
    with path.open("wb") as stream:
        stream.truncate(1_000_000_000)

    assert why(read_file(path, "jobs.csv", (), RECORDS)) == "the file is above 200 MB"


def test_lines_that_end_in_a_return_alone_are_lines(read: Callable[..., ReadFile]) -> None:
    (sheet,) = read(b"job_ref,job_type\r2025-014,garage\r2025-015,porch\r").sheets

    assert sheet.rows["jobs"].select("row_no", "job_ref").rows() == [
        (2, "2025-014"),
        (3, "2025-015"),
    ]
    assert sheet.units_counted == 3


@pytest.mark.parametrize("word", ["=1+1", "+44", "-3", "@home", "=cmd|'/c calc'!A1", "'; DROP --"])
def test_words_that_begin_like_a_formula_stay_words(
    read: Callable[..., ReadFile], word: str
) -> None:
    (sheet,) = read(JOBS + word.encode() + b"\n").sheets

    assert sheet.rows["jobs"]["notes"].to_list() == [word]


def write_archive(path: Path, members: dict[str, bytes]) -> bytes:
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as archive:
        for name, content in members.items():
            archive.writestr(name, content)
    return path.read_bytes()


def whole(path: Path, fill: Callable[[xlsxwriter.Workbook], None] | None = None) -> bytes:
    with xlsxwriter.Workbook(path) as book:
        if fill is not None:
            fill(book)
        else:
            sheet = book.add_worksheet("jobs")
            sheet.write_row("A1", ["job_ref", "job_type"])
            sheet.write_row("A2", ["2025-014", "garage"])
    return path.read_bytes()


def members(content: bytes, path: Path) -> dict[str, bytes]:
    path.write_bytes(content)
    with zipfile.ZipFile(path) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


def test_a_part_that_bursts_is_refused_before_it_is_expanded(
    read: Callable[..., ReadFile], tmp_path: Path
) -> None:
    bomb = write_archive(tmp_path / "bomb", {"xl/workbook.xml": bytes(30_000_000)})

    assert "expands 1,0" in why(read(bomb, "jobs.xlsx"))


def test_many_parts_and_parts_that_are_large_together_are_refused(
    read: Callable[..., ReadFile], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    many = write_archive(tmp_path / "many", {f"xl/{n}": b"x" for n in range(10)})
    monkeypatch.setattr(limits, "MOST_WORKBOOK_BYTES", 9)
    assert why(read(many, "jobs.xlsx")) == "the workbook expands above 1 GB"
    monkeypatch.setattr(limits, "MOST_MEMBERS", 9)
    assert why(read(many, "jobs.xlsx")) == "the workbook has 10 parts"


def test_a_part_that_says_it_is_smaller_than_it_is_is_damage(
    read: Callable[..., ReadFile], tmp_path: Path
) -> None:
    content = whole(tmp_path / "book.xlsx")
    with zipfile.ZipFile(tmp_path / "book.xlsx") as archive:
        size = archive.getinfo("xl/worksheets/sheet1.xml").file_size
    lying = content.replace(struct.pack("<L", size), struct.pack("<L", 100))

    assert why(read(lying, "jobs.xlsx")) == "the workbook is damaged or only half there"


@pytest.mark.parametrize(
    "part", ["xl/workbook.xml", "xl/worksheets/sheet1.xml", "xl/sharedStrings.xml"]
)
def test_a_document_type_in_a_part_is_refused(
    read: Callable[..., ReadFile], tmp_path: Path, part: str
) -> None:
    inside = members(whole(tmp_path / "book.xlsx"), tmp_path / "again.xlsx")
    attack = b'<!DOCTYPE x [<!ENTITY a "&b;&b;"><!ENTITY b SYSTEM "file:///etc/hostname">]>'
    head, mark, rest = inside[part].partition(b"?>")
    inside[part] = head + mark + attack + rest
    file = read(write_archive(tmp_path / "attack", inside), "jobs.xlsx")

    assert why(file) == "the workbook is damaged or only half there"
    assert not file.sheets


def test_a_formula_that_was_never_worked_out_is_no_blank(
    read: Callable[..., ReadFile], tmp_path: Path
) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet.title = "jobs"
    sheet.append(["job_ref", "job_type", "quoted_area_m2"])
    sheet.append(["2025-014", "garage", "=3*6"])
    book.save(tmp_path / "book.xlsx")
    file = read((tmp_path / "book.xlsx").read_bytes(), "book.xlsx")

    assert why(file) == 'cell C2 of sheet "jobs" holds a formula that was never worked out'


def test_formulas_stand_for_what_they_came_to(
    read: Callable[..., ReadFile], tmp_path: Path
) -> None:
    def fill(book: xlsxwriter.Workbook) -> None:
        sheet = book.add_worksheet("jobs")
        sheet.write_row("A1", ["job_ref", "job_type", "quoted_area_m2", "notes"])
        sheet.write_row("A2", ["2025-014", "garage"])
        sheet.write_formula("C2", "=3*6", None, 18)
        sheet.write_formula("D2", '=""', None, "")

    inside = members(whole(tmp_path / "book.xlsx", fill), tmp_path / "again.xlsx")
    part = "xl/worksheets/sheet1.xml"
    inside[part] = inside[part].replace(b'r="D2"', b'r="D2" t="str"')
    (sheet,) = read(write_archive(tmp_path / "saved", inside), "book.xlsx").sheets
    assert sheet.rows["jobs"].select("quoted_area_m2", "notes").rows() == [("18", None)]


def test_links_to_another_workbook_are_said(read: Callable[..., ReadFile], tmp_path: Path) -> None:
    inside = members(whole(tmp_path / "book.xlsx"), tmp_path / "again.xlsx")
    inside["xl/externalLinks/externalLink1.xml"] = b"<externalLink/>"
    file = read(write_archive(tmp_path / "linked", inside), "jobs.xlsx")

    assert file.notes == (
        "some of its figures come from another workbook, and are read as they last stood",
    )
    assert file.sheets[0].rows["jobs"].height == 1


@pytest.mark.parametrize(
    "name", ["..%5c..%5cjobs", "jobs'; DROP TABLE x", "$(rm jobs)", "con jobs"]
)
def test_a_sheet_may_be_named_like_a_path_or_a_command(
    read: Callable[..., ReadFile], tmp_path: Path, name: str
) -> None:
    def fill(book: xlsxwriter.Workbook) -> None:
        sheet = book.add_worksheet(name)
        sheet.write_row("A1", ["job_ref", "job_type"])
        sheet.write_row("A2", ["2025-014", "garage"])

    (sheet,) = read(whole(tmp_path / "book.xlsx", fill), "jobs.xlsx").sheets
    assert sheet.sheet == name
    assert sheet.rows["jobs"]["sheet"].to_list() == [name]
