"""Wordings that nobody has named: asked for in a workbook, answered through the inbox."""

import shutil

import pytest
from openpyxl import load_workbook

from pipelines.month.run import run_month
from tests.support.small_firm import drop, make_firm

MAPPING = """
name = "yard lines"
files = ["yard*"]
kind = "table"
record = "purchases"
header = ["Doc", "Item", "Net"]
[columns]
"Doc" = "document_no"
"Day" = "document_on"
"Line" = "line_no"
"Item" = "description"
"Qty" = "packs"
"Net" = "line_net_gbp"
[constants]
supplier = "Yard of the valley"
"""
LINES = {
    "yard may.csv": """
        Doc,Day,Line,Item,Qty,Net
        81,2026-05-01,1,Amber tin,2,"1,200.00"
        81,2026-05-01,2,Pallet,1,9.00
    """,
    "yard june.csv": """
        Doc,Day,Line,Item,Qty,Net
        82,2026-05-20,1,amber  TIN,1,610.00
    """,
}
HELD = "SELECT description, material, quantity::INT, line_kind FROM ledger.purchases ORDER BY ALL"


def _firm(root):
    make_firm(root, {"yard may.csv": LINES["yard may.csv"]})
    (root / "settings" / "mappings" / "yard.toml").write_text(MAPPING)
    return root


def _answer(workbook, target, answers):
    book = load_workbook(workbook)
    sheet = book["descriptions"]
    heads = [cell.value for cell in sheet[1]]
    for row in range(2, sheet.max_row + 1):
        for column, value in answers.get(sheet.cell(row, 2).value, {}).items():
            sheet.cell(row, heads.index(column) + 1, value)
    book.save(target)


def test_a_wording_named_once_is_known_before_and_after(tmp_path, ask):
    root = _firm(tmp_path / "firm")
    first = run_month(root)
    assert (first.accepted_count, first.rejected_count) == (4, 2)
    rows = list(load_workbook(first.wordings)["descriptions"].values)
    assert rows[1:] == [
        ("Yard of the valley", "Amber tin", *[None] * 4, "1", "1,200.00", "2026-05-01"),
        ("Yard of the valley", "Pallet", *[None] * 4, "1", "9.00", "2026-05-01"),
    ]
    said = (root / "pages" / "start.html").read_text(encoding="utf-8")
    assert "Name two descriptions that nobody knows yet" in said
    assert "Descriptions that nobody has named yet" in said
    assert said.index("Amber tin") < said.index("Pallet")
    assert "£1,200.00" in said

    resin = {"material": "resin", "pack_size": "20", "unit": "kg"}
    _answer(first.wordings, root / "inbox" / first.wordings.name, {"Amber tin": resin})
    second = run_month(root)
    # the heading and the row left blank are skipped
    assert (second.accepted_count, second.skipped_count, second.rejected_count) == (1, 2, 0)
    assert ask(root, HELD) == [("Amber tin", "resin", 40, "goods")]
    assert [row[1] for row in load_workbook(second.wordings)["descriptions"].values][1:] == [
        "Pallet"
    ]

    drop(root, {"yard june.csv": LINES["yard june.csv"]})
    third = run_month(root)
    assert (third.accepted_count, third.repaired_count) == (1, 1)
    said = (root / "pages" / "start.html").read_text(encoding="utf-8")
    assert "Name one description that nobody knows yet" in said
    assert ask(root, HELD)[1] == ("amber  TIN", "resin", 20, "goods")
    assert ask(root, "SELECT DISTINCT rule FROM receipt.repair WHERE column_name = 'material'") == [
        (f"as named in {first.wordings.name}, sheet descriptions, row 2",)
    ]
    # every row of every file is counted once
    assert (
        ask(
            root,
            """
        SELECT file_name FROM receipt.file
        WHERE rows_read_count
            <> accepted_count + rejected_count + already_held_count + skipped_count
        """,
        )
        == []
    )


@pytest.mark.slow
def test_a_workbook_that_is_being_filled_in_is_never_written_over(tmp_path):
    root = _firm(tmp_path / "firm")
    first = run_month(root)
    _answer(first.wordings, first.wordings, {"Pallet": {"line_kind": "deposit"}})
    half_done = first.wordings.read_bytes()
    drop(root, {"jobs.csv": "job_ref,job_type\n2026-001,garage"})
    assert run_month(root).wordings == first.wordings
    assert first.wordings.read_bytes() == half_done

    shutil.rmtree(root / "rejects")
    drop(root, {"jobs.csv": "job_ref,job_type\n2026-002,garage"})
    assert run_month(root).wordings.is_file()
