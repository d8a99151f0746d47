"""Rows that could not be read, mended in their workbook and dropped into the inbox."""

import shutil

import pytest
from openpyxl import load_workbook

from pipelines.month.run import run_month

RIGHT = {
    "extras": ("agreed_on", "2026-02-28"),
    "offcuts": ("length_mm", "2400"),
    "purchases": ("material", "drip trim"),
    "stock_counts": ("quantity", "3"),
}


@pytest.fixture(scope="module")
def mended(demo, tmp_path_factory):
    root = shutil.copytree(demo.root, tmp_path_factory.mktemp("mended") / "firm")
    (workbook,) = (root / "rejects").glob("could not be read*")
    book = load_workbook(workbook)
    for record, (column, value) in RIGHT.items():
        sheet = book[record]
        heads = [cell.value for cell in sheet[1]]
        sheet.cell(2, heads.index(column) + 1, value)
    book.save(root / "inbox" / workbook.name)
    return root, run_month(root)


def test_every_mended_row_is_taken_in(mended):
    _, summary = mended

    assert summary.not_read == ()
    assert (summary.accepted_count, summary.rejected_count) == (4, 0)


def test_the_rows_that_they_answer_are_asked_for_no_more(mended, ask):
    root, summary = mended

    assert ask(root, "SELECT count(*) FROM page.reject") == [(0,)]
    assert ask(
        root, "SELECT count(*) FROM receipt.reject WHERE mended_by_receipt_no IS NOT NULL"
    ) == [(4,)]
    assert summary.rejects is None


def test_the_mended_rows_are_in_force(mended, ask):
    root, _ = mended

    assert ask(
        root,
        """
        SELECT offcuts.length_mm
        FROM ledger.offcuts AS offcuts
        WHERE offcuts.receipt_no = (SELECT max(file.receipt_no) FROM receipt.file AS file)
        """,
    ) == [(2400,)]
    assert ask(
        root,
        """
        SELECT line.material, line.document_on::VARCHAR
        FROM ledger.purchases AS line
        WHERE line.description = 'Edge sundries as agreed'
        """,
    ) == [("drip trim", "2025-05-02")]


def test_a_mended_line_does_not_end_the_other_lines_of_its_invoice(demo, mended, ask):
    root, _ = mended
    lines = "SELECT count(*) FROM ledger.purchases"

    assert ask(root, lines)[0][0] == ask(demo.root, lines)[0][0] + 1


@pytest.mark.slow
def test_a_row_left_as_it_was_is_asked_for_again(demo, tmp_path):
    root = shutil.copytree(demo.root, tmp_path / "firm")
    (workbook,) = (root / "rejects").glob("could not be read*")
    shutil.copyfile(workbook, root / "inbox" / workbook.name)

    summary = run_month(root)

    assert (summary.accepted_count, summary.rejected_count) == (0, 4)
    assert summary.rejects is not None
    assert len(list((root / "rejects").glob("could not be read*"))) == 2
