"""A CSV read whole comes to what the reader that goes line by line makes of it, row by row."""

import tempfile
from pathlib import Path
from unittest.mock import patch

import polars as pl
from hypothesis import given
from hypothesis import settings as run_settings
from hypothesis import strategies as st

from pipelines.receiving import reading
from pipelines.receiving.handed_over import ReadFile
from pipelines.receiving.plain_csv import read_plain_csv
from pipelines.receiving.row_texts import tell_sheet
from schemas.records import RECORDS

NAMES = ["job_ref", "job_type", "notes", "quoted_area_m2"]
cells = st.one_of(
    st.sampled_from(
        ["", " ", "\u00a0", "2025-014", "garage", "12.5", "Total", "sum:", "Job Ref", "job_type"]
    ),
    st.sampled_from(
        ["1;2", "a, b", '"a, b"', '"a ""b"" c"', '""', '"1";"2', "b|c", "\u00e9\u00df"]
    ),
    st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=4),
)
odd_cells = st.sampled_from(
    ['a"b', '"open', '"a"b', "x\ny", '"x\ny"', "\x00", "\x1c", "\x85", "\r", "'", "\ufeff", '"";']
)
lines = st.lists(cells, min_size=len(NAMES), max_size=len(NAMES))
rows = st.lists(lines, min_size=1, max_size=8)


@st.composite
def files(draw: st.DrawFn) -> bytes:
    """Draw a file that is plain but for, at times, one thing."""
    table = [[*draw(st.permutations(NAMES))], *draw(rows)]
    mark = draw(st.sampled_from([",", ",", ";", "\t", "|"]))
    odd = draw(st.sampled_from([None, None, None, "cell", "more", "fewer", "blank", "again"]))
    at = draw(st.integers(0, len(table) - 1))
    if odd == "cell":
        table[at][draw(st.integers(0, 3))] = draw(odd_cells)
    elif odd == "more":
        table[at].append(draw(cells))
    elif odd == "fewer":
        table[at].pop()
    elif odd in {"blank", "again"}:
        table.insert(at, [] if odd == "blank" else table[0])
    end = draw(st.sampled_from(["\n", "\n", "\r\n", "\r"]))
    text = end.join(mark.join(line) for line in table) + draw(st.sampled_from([end, "", "\n\n"]))
    return text.encode(draw(st.sampled_from(["utf-8", "utf-8", "utf-8-sig", "utf-16"])))


def read(content: bytes) -> ReadFile:
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "copy"
        path.write_bytes(content)
        return reading.read_file(path, "jobs.csv", (), RECORDS)


def told(file: ReadFile) -> tuple[object, ...]:
    sheets = [tell_sheet(sheet) for sheet in file.sheets]
    frames = [(record, rows) for sheet in sheets for record, rows in sheet.rows.items()]
    said = [(sheet.sheet, sheet.skipped, sheet.units_counted) for sheet in sheets]
    found = [(record, rows.schema, rows.rows()) for record, rows in frames]
    return file.faults, file.notes, file.source, said, found


@given(files())
@run_settings(max_examples=300, deadline=None)
def test_read_whole_or_line_by_line_it_is_the_same(content: bytes) -> None:
    with patch.object(reading, "read_plain_csv", return_value=None):
        careful = told(read(content))
    assert told(read(content)) == careful


@given(rows)
@run_settings(max_examples=60, deadline=None)
def test_the_text_of_rows_made_at_once_is_the_text_made_one_by_one(table: list[list[str]]) -> None:
    body = pl.DataFrame(table, schema=dict.fromkeys(NAMES, pl.String()), orient="row")
    content = body.write_csv(quote_style="always").encode()
    with patch.object(reading, "read_plain_csv", return_value=None):
        careful = told(read(content))
    assert told(read(content)) == careful


def test_a_clean_file_is_read_whole() -> None:
    content = b'job_ref,job_type,notes\n2025-014,garage,"tin, one"\n2025-015,bay,\n'
    assert read_plain_csv(content, "jobs.csv", RECORDS) is not None
