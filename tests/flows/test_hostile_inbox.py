"""An inbox with what does not belong there: each thing left or taken in, and said."""

import os
import threading
from datetime import UTC, datetime
from pathlib import Path

import openpyxl

from pipelines.month.run import run_month
from pipelines.receiving import register
from pipelines.receiving.register import list_receipts, take_in
from tests.support.small_firm import drop, make_firm

NOW = datetime(2026, 6, 1, 7, tzinfo=UTC)
JOBS = """
    job_ref,job_type,completed_on,quoted_area_m2
    2025-014,garage,2026-05-04,18.0
"""
LEFT = {
    "link.csv": "a link",
    "folder of may": "a folder",
    "pipe.csv": "not a file",
    "~$jobs.xlsx": "the mark of a file that is open",
    ".jobs.csv.tmp": "still arriving",
    "jobs.csv.part": "still arriving",
    "jobs (conflicted copy 2026-05-31).csv": "two people changed one file",
    "jobs (Conflict of 31 May).csv": "two people changed one file",
    "half.xlsx": "only half there",
    "hollow.csv": "only half there",
    "cut short.csv": "only half there",
    "nothing.csv": "empty",
}


def _fill(inbox: Path) -> None:
    outside = inbox.parent / "outside.csv"
    outside.write_text("job_ref,job_type\n2025-666,garage\n")
    (inbox / "link.csv").symlink_to(outside)
    (inbox / "folder of may").mkdir()
    os.mkfifo(inbox / "pipe.csv")
    for name in ("~$jobs.xlsx", ".jobs.csv.tmp", "jobs.csv.part"):
        (inbox / name).write_bytes(b"half")
    for name in ("jobs (conflicted copy 2026-05-31).csv", "jobs (Conflict of 31 May).csv"):
        (inbox / name).write_text("job_ref,job_type\n2025-667,garage\n")
    (inbox / "half.xlsx").write_bytes(b"PK\x03\x04" + b"x" * 5000)
    (inbox / "hollow.csv").write_bytes(bytes(5000))
    (inbox / "cut short.csv").write_bytes(b"job_ref,job_type\n" * 100 + bytes(3000))
    (inbox / "nothing.csv").touch()


def test_what_is_no_whole_file_is_left_and_said(tmp_path, ask):
    root = make_firm(tmp_path / "firm", {"jobs.csv": JOBS})
    _fill(root / "inbox")

    summary = run_month(root)

    said = {note.file_name: str(note) for note in summary.left_in_inbox}
    assert said.keys() == LEFT.keys()
    assert {name for name in LEFT if LEFT[name] in said[name]} == set(LEFT)
    assert {path.name for path in (root / "inbox").iterdir()} == set(LEFT)
    assert ask(root, "SELECT job_ref FROM ledger.jobs") == [("2025-014",)]
    assert ask(root, "SELECT count(*) FROM receipt.file") == [(2,)]


NAMES = [
    "jobs'; DROP TABLE history.jobs; --.csv",
    "jobs ..\\..\\settings\\settings.toml.csv",
    "jobs $(touch x) `touch x` %TEMP%.csv",
    "jobs \u202e vsc.csv",
    "jobs\nof two lines.csv",
    "jobs " + "long " * 45 + ".csv",
]


def test_names_that_look_like_paths_or_commands_are_names(tmp_path, ask):
    root = make_firm(tmp_path / "firm", {})
    before = {path for path in tmp_path.rglob("*") if path.is_dir()}
    for no, name in enumerate(NAMES, start=1):
        drop(root, {name: f"job_ref,job_type\n2025-{no:03},garage"})

    run_month(root)

    found = ask(root, "SELECT job_ref FROM ledger.jobs ORDER BY job_ref")
    assert found == [(f"2025-{no:03}",) for no in range(1, len(NAMES) + 1)]
    received = [receipt.path for receipt in list_receipts(root / "received")]
    assert len(received) == len(NAMES) + 1
    assert all(path.parent == root / "received" for path in received)
    new = {path for path in tmp_path.rglob("*") if path.is_dir()} - before
    assert {path.parent for path in new} <= {root, root / "pages"}


def test_a_file_that_changes_while_it_is_copied_is_left(tmp_path, monkeypatch):
    inbox, received = tmp_path / "inbox", tmp_path / "received"
    inbox.mkdir()
    growing = inbox / "jobs.csv"
    growing.write_text("job_ref,job_type\n")
    (inbox / "whole.csv").write_text("supplier\nThornwick\n")
    copy = register.shutil.copyfile

    def copied_late(source, target):
        if source == growing:
            growing.write_text("job_ref,job_type\n2025-014,garage\n")
        return copy(source, target)

    monkeypatch.setattr(register.shutil, "copyfile", copied_late)
    batch = take_in(inbox, received, NOW)

    assert [file.path.name for file in batch.taken] == ["whole.csv"]
    assert [(left.name, left.why) for left in batch.left] == [
        ("jobs.csv", "a file that is still arriving")
    ]
    assert [receipt.receipt_no for receipt in list_receipts(received)] == [1]
    assert [path.name for path in received.iterdir() if path.name.startswith(".")] == []
    monkeypatch.undo()
    assert [file.receipt.receipt_no for file in take_in(inbox, received, NOW).taken] == [2]


def test_a_pipe_with_a_writer_does_not_hold_the_run_up(tmp_path):
    inbox = tmp_path / "inbox"
    inbox.mkdir()
    os.mkfifo(inbox / "pipe.csv")
    taken = threading.Thread(target=take_in, args=(inbox, tmp_path / "received", NOW), daemon=True)
    taken.start()
    taken.join(timeout=20)

    assert not taken.is_alive()


def test_rejects_that_begin_like_a_formula_are_written_as_text(tmp_path):
    words = ["=1+1", "+44 20", "-3", "@home"]
    rows = "\n".join(f"2025-{no:03},garage,{word},{word}" for no, word in enumerate(words, start=1))
    root = make_firm(tmp_path / "firm", {})
    (root / "inbox" / "jobs.csv").write_text(f"job_ref,job_type,quoted_area_m2,notes\n{rows}\n")

    summary = run_month(root)

    sheet = openpyxl.load_workbook(summary.rejects)["jobs"]
    cells = [cell for row in sheet.iter_rows(min_row=2) for cell in row if cell.value in words]
    assert {cell.value for cell in cells} == set(words)
    assert {cell.data_type for cell in cells} == {"s"}
