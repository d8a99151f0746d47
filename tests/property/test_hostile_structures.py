"""Tables and workbooks put together at random: never an error, every row accounted for."""

import csv
import io
import tempfile
import zipfile
from pathlib import Path

import xlsxwriter
from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.receiving.handed_over import ReadFile
from pipelines.receiving.reading import read_file
from schemas.records import RECORDS

HEADING = ["job_ref", "extra_no", "price_gbp"]
SHEET = "xl/worksheets/sheet1.xml"

words = st.sampled_from(
    ["Total", "Brought forward", "c/f", "job_ref", "supplier", "12", "45.00", "45.00", "1,250.00",
     "(45.00)", "=1+1", "#REF!", "tbc", "", "", "\u00a0", "\x0b", "a\rb"]
)  # fmt: skip
rows = st.lists(st.lists(words, max_size=4) | st.just(HEADING), max_size=8)

kinds = st.sampled_from(['t="s"', 't="str"', 't="inlineStr"', 't="b"', 't="e"', 't="q"', ""])
references = st.sampled_from(['r="A1"', 'r="A2"', 'r="B2"', 'r="C9"', 'r="ZZZ2"', 'r="?"', ""])
insides = st.sampled_from(
    ["<v>0</v>", "<v>1</v>", "<v>99</v>", "<v>-1</v>", "<v/>", "<f>A1</f>", "<f>A1</f><v>3</v>",
     "<is><t>x</t></is>", "<is/>", "<v>1e400</v>", ""]
)  # fmt: skip
made_cells = st.builds(
    lambda reference, kind, inside: f"<c {reference} {kind}>{inside}</c>",
    references,
    kinds,
    insides,
)
made_rows = st.builds(
    lambda number, cells: f"<row {number}>{''.join(cells)}</row>",
    st.sampled_from(['r="1"', 'r="2"', 'r="2" hidden="1"', 'r="9"', 'r="0"', 'r="2000000"', ""]),
    st.lists(made_cells, max_size=4),
)


def read(content: bytes, name: str) -> ReadFile:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "copy"
        path.write_bytes(content)
        return read_file(path, name, (), RECORDS)


def assert_accounted(file: ReadFile) -> None:
    assert file.sheets or file.faults
    for sheet in file.sheets:
        rows = sum(frame.height for frame in sheet.rows.values())
        assert sheet.units_counted == rows + len(sheet.skipped)


@settings(max_examples=80, deadline=None)
@given(rows, rows)
def test_totals_and_headings_anywhere_in_our_own_columns(
    above: list[list[str]], below: list[list[str]]
) -> None:
    text = io.StringIO()
    csv.writer(text).writerows([*above, HEADING, *below])

    assert_accounted(read(text.getvalue().encode(), "extras.csv"))


def _whole() -> dict[str, bytes]:
    stream = io.BytesIO()
    with xlsxwriter.Workbook(stream) as book:
        book.add_worksheet("extras").write_row("A1", HEADING)
    with zipfile.ZipFile(stream) as archive:
        return {name: archive.read(name) for name in archive.namelist()}


WHOLE = _whole()


@settings(max_examples=80, deadline=None)
@given(st.lists(made_rows, max_size=4))
def test_sheets_of_any_structure(made: list[str]) -> None:
    head, end, tail = WHOLE[SHEET].partition(b"</sheetData>")
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w") as archive:
        for name, content in WHOLE.items():
            made_sheet = head + "".join(made).encode() + end + tail
            archive.writestr(name, made_sheet if name == SHEET else content)

    assert_accounted(read(stream.getvalue(), "extras.xlsx"))
