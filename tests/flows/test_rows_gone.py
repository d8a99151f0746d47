"""Rows that a newer version of a file leaves out: still counted, and asked about once."""

from pathlib import Path

import openpyxl
import pytest

from pipelines.month.run import run_month
from tests.support.small_firm import drop, make_firm

HEAD = "job_ref,job_type,completed_on,quoted_area_m2"
FIRST = "2026-001,garage,2026-05-04,18.0"
SECOND = "2026-002,porch,2026-05-11,6.0"
THIRD = "2026-003,porch,2026-05-18,7.0"
CARDS = "job_ref,material,unit,issued_quantity"
STANDING = "SELECT job_ref FROM ledger.jobs ORDER BY job_ref"
GONE = "SELECT record, key, told_in, row_no, file_name, gone_count, is_new FROM page.row_gone"
SENTENCE = (
    "One row of jobs v2.csv is no longer in its newest version: still counted; withdraw it if it "
    "is wrong."
)


def _lines(*lines):
    return "\n".join(lines)


@pytest.fixture
def firm(tmp_path):
    root = make_firm(tmp_path / "firm", {"jobs.csv": _lines(HEAD, FIRST, SECOND)})
    run_month(root)
    return root


def _leave_second_out(root):
    drop(root, {"jobs v2.csv": _lines(HEAD, FIRST, THIRD)})
    return run_month(root)


def test_a_row_left_out_still_counts_and_is_asked_about_by_that_run_alone(firm, ask):
    summary = _leave_second_out(firm)

    assert ask(firm, STANDING) == [("2026-001",), ("2026-002",), ("2026-003",)]
    row = ("jobs", "job_ref=2026-002", "jobs.csv", 3, "jobs v2.csv", 1)
    assert ask(firm, GONE) == [(*row, True)]
    assert summary.rows_gone == (SENTENCE,)
    assert SENTENCE in (firm / "pages" / "start.html").read_text(encoding="utf-8")

    drop(firm, {"cards.csv": _lines(CARDS, "2026-001,resin,kg,20")})
    later = run_month(firm)

    assert ask(firm, GONE) == [(*row, False)]
    assert (later.rows_gone, later.rows_gone_workbook) == ((), None)
    page = (firm / "pages" / "start.html").read_text(encoding="utf-8")
    assert SENTENCE not in page
    assert "Asked before" in page


def _fill_in(workbook: Path, target: Path) -> None:
    book = openpyxl.load_workbook(workbook)
    sheet = book["withdrawn"]
    heads = [cell.value for cell in sheet[1]]
    sheet.cell(2, heads.index("withdrawn_on") + 1, "2026-05-28")
    book.save(target)


def test_the_workbook_filled_in_takes_the_row_back_and_ends_the_question(firm, ask):
    summary = _leave_second_out(firm)
    workbook = summary.rows_gone_workbook
    _fill_in(workbook, firm / "inbox" / workbook.name)

    run_month(firm)

    assert ask(firm, STANDING) == [("2026-001",), ("2026-003",)]
    assert ask(firm, GONE) == []


def test_the_workbook_handed_in_as_it_is_takes_nothing_back(firm, ask):
    workbook = _leave_second_out(firm).rows_gone_workbook
    (firm / "inbox" / workbook.name).write_bytes(workbook.read_bytes())

    summary = run_month(firm)

    assert summary.rejected_count == 0
    assert [note for note in summary.file_notes if "not used" in note.message] == []
    assert len(ask(firm, STANDING)) == 3


def test_a_row_that_is_in_the_file_again_is_asked_about_no_more(firm, ask):
    _leave_second_out(firm)
    drop(firm, {"jobs v3.csv": _lines(HEAD, FIRST, SECOND, THIRD)})
    run_month(firm)

    assert ask(firm, GONE) == []


def test_a_row_that_another_file_tells_is_not_asked_about(firm, ask):
    drop(firm, {"jobs of the diary.csv": _lines(HEAD, SECOND)})
    _leave_second_out(firm)

    assert ask(firm, GONE) == []


@pytest.mark.slow
def test_an_entry_left_out_is_named_with_its_entry_and_is_taken_back_alone(firm, ask):
    three = ("2026-001,resin,kg,20", "2026-001,resin,kg,20", "2026-001,resin,kg,4")
    drop(firm, {"job materials.csv": _lines(CARDS, *three)})
    run_month(firm)
    drop(firm, {"job materials v2.csv": _lines(CARDS, three[0], three[2])})
    summary = run_month(firm)

    ((record, key, _, row_no, _, count, _),) = ask(firm, GONE)
    assert (record, row_no, count) == ("job_materials", 3, 1)
    assert key == "job_ref=2026-001; material=resin; entry=job materials/2"

    workbook = summary.rows_gone_workbook
    _fill_in(workbook, firm / "inbox" / workbook.name)
    run_month(firm)
    used = "SELECT CAST(sum(issued_quantity) AS INTEGER) FROM ledger.job_materials"
    assert ask(firm, used) == [(24,)]


@pytest.mark.slow
def test_an_invoice_left_out_of_a_list_is_one_question_of_all_its_lines(firm, ask):
    heads = "supplier,document_no,document_on,description,line_net_gbp,material,packs,pack_size"
    lines = [
        "Wharf Supplies,1001,2026-04-20,resin,240.00,resin,4,20",
        "Wharf Supplies,1002,2026-05-04,resin,60.00,resin,1,20",
        "Wharf Supplies,1002,2026-05-04,topcoat,55.00,topcoat grey,1,10",
    ]
    drop(firm, {"purchases.csv": _lines(heads, *lines)})
    run_month(firm)
    drop(firm, {"purchases v2.csv": _lines(heads, lines[0])})
    summary = run_month(firm)

    ((record, key, _, _, _, count, _),) = ask(firm, GONE)
    assert (record, count) == ("purchases", 2)
    assert key == ("supplier=Wharf Supplies; document_type=invoice; document_no=1002; year=2026")
    workbook = summary.rows_gone_workbook
    _fill_in(workbook, firm / "inbox" / workbook.name)
    run_month(firm)
    assert ask(firm, "SELECT DISTINCT document_no FROM ledger.purchases") == [("1001",)]


def test_a_row_that_cannot_be_read_in_the_newest_version_is_not_gone(firm, ask):
    drop(firm, {"jobs v2.csv": _lines(HEAD, FIRST, SECOND.replace("6.0", "six"))})
    run_month(firm)

    assert ask(firm, GONE) == []


def test_a_warehouse_made_again_asks_the_same(firm, ask):
    _leave_second_out(firm)
    before = ask(firm, GONE)
    names = sorted(path.name for path in (firm / "rejects").iterdir())
    (firm / "warehouse.duckdb").unlink()
    for path in (firm / "rejects").iterdir():
        path.unlink()
    run_month(firm)

    assert ask(firm, GONE) == before
    assert sorted(path.name for path in (firm / "rejects").iterdir()) == names
