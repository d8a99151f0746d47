"""The register: numbered copies, one time a batch, nothing copied twice, nothing lost."""

from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

import pytest

from pipelines.receiving.register import clear_inbox, list_receipts, make_safe, take_in

NOW = datetime(2026, 6, 1, 7, 2, 12, 345, tzinfo=UTC)


@pytest.fixture
def inbox(tmp_path: Path) -> Path:
    folder = tmp_path / "inbox"
    folder.mkdir()
    return folder


@pytest.fixture
def received(tmp_path: Path) -> Path:
    return tmp_path / "received"


def test_a_copy_is_named_by_number_time_digest_and_name(inbox: Path, received: Path) -> None:
    (inbox / "jobs.csv").write_bytes(b"job_ref\n001\n")
    batch = take_in(inbox, received, NOW)
    digest = sha256(b"job_ref\n001\n").hexdigest()[:12]
    (copy,) = received.iterdir()
    assert copy.name == f"000001_20260601T070212Z_{digest}_jobs.csv"
    assert copy.read_bytes() == b"job_ref\n001\n"
    assert (inbox / "jobs.csv").exists()
    assert list_receipts(received) == (batch.taken[0].receipt,)
    assert batch.taken[0].receipt.batch_at == NOW.replace(microsecond=0)


def test_numbers_follow_document_then_version_then_name(inbox: Path, received: Path) -> None:
    names = ["week 10.csv", "week 9 final.csv", "week 9 v2.csv", "week 9.csv", "week 9 (1).csv"]
    for name in names:
        (inbox / name).write_text(name)
    take_in(inbox, received, NOW)
    assert [receipt.name for receipt in list_receipts(received)] == [
        "week 9.csv",
        "week 9 (1).csv",
        "week 9 v2.csv",
        "week 9 final.csv",
        "week 10.csv",
    ]


def test_a_batch_is_later_than_the_last_even_if_the_clock_went_back(
    inbox: Path, received: Path
) -> None:
    (inbox / "one.csv").write_text("1")
    take_in(inbox, received, NOW)
    (inbox / "two.csv").write_text("2")
    batch = take_in(inbox, received, NOW - timedelta(days=3))
    assert batch.batch_at == NOW.replace(microsecond=0) + timedelta(seconds=1)
    assert [file.receipt.receipt_no for file in batch.taken] == [2]


def test_bytes_already_held_are_not_copied_again(inbox: Path, received: Path) -> None:
    (inbox / "one.csv").write_text("same")
    (inbox / "one (1).csv").write_text("same")
    batch = take_in(inbox, received, NOW)
    assert [file.path.name for file in batch.taken] == ["one.csv"]
    assert [(file.path.name, file.receipt.receipt_no) for file in batch.held] == [
        ("one (1).csv", 1)
    ]
    again = take_in(inbox, received, NOW)
    assert (again.taken, len(again.held)) == ((), 2)
    assert len(list_receipts(received)) == 1


def test_clearing_removes_what_is_held_and_keeps_what_changed_since(
    inbox: Path, received: Path
) -> None:
    (inbox / "one.csv").write_text("one")
    (inbox / "two.csv").write_text("two")
    batch = take_in(inbox, received, NOW)
    (inbox / "two.csv").write_text("two, mended")
    assert clear_inbox(batch) == (inbox / "two.csv",)
    assert [path.name for path in inbox.iterdir()] == ["two.csv"]
    assert clear_inbox(batch) == (inbox / "two.csv",)


def test_what_is_not_a_whole_file_stays_and_is_listed(inbox: Path, received: Path) -> None:
    (inbox / "folder").mkdir()
    (inbox / "link.csv").symlink_to(inbox / "jobs.csv")
    (inbox / "open.xlsx").write_bytes(b"PK\x03\x04 half")
    for name in ("~$jobs.csv", ".~lock.edges.csv#", "x.tmp", "y.part", "desktop.ini", ".DS_Store"):
        (inbox / name).write_text("x")
    for name in ("jobs.csv", "edges.csv", "sheet (Ann's conflicted copy).csv"):
        (inbox / name).write_text(name)
    (inbox / "empty.csv").touch()
    (inbox / "whole.csv").write_text("whole")
    batch = take_in(inbox, received, NOW)
    assert [file.path.name for file in batch.taken] == ["whole.csv"]
    assert {left.name: left.why for left in batch.left} == {
        "folder": "a folder",
        "link.csv": "a link, not a file",
        "open.xlsx": "a workbook that is only half there",
        "~$jobs.csv": "the mark of a file that is open",
        ".~lock.edges.csv#": "the mark of a file that is open",
        "x.tmp": "a file that is still arriving",
        "y.part": "a file that is still arriving",
        "desktop.ini": "a file of the computer's own",
        ".DS_Store": "a file of the computer's own",
        "jobs.csv": "still open",
        "edges.csv": "still open",
        "sheet (Ann's conflicted copy).csv": "a conflict copy: two people changed one file",
        "empty.csv": "empty",
    }
    assert all(left.mend for left in batch.left)


def test_pictures_and_other_kinds_are_kept(inbox: Path, received: Path) -> None:
    (inbox / "card.jpg").write_bytes(b"\xff\xd8\xff\xe0 picture")
    (inbox / "letter.docx").write_bytes(b"PK\x03\x04 letter")
    take_in(inbox, received, NOW)
    assert [receipt.name for receipt in list_receipts(received)] == ["card.jpg", "letter.docx"]


def test_an_unfinished_copy_is_no_receipt_and_is_swept_away(inbox: Path, received: Path) -> None:
    received.mkdir()
    (received / ".7.part").write_text("half")
    (received / "notes.txt").write_text("not ours")
    (inbox / "one.csv").write_text("one")
    take_in(inbox, received, NOW)
    assert [receipt.receipt_no for receipt in list_receipts(received)] == [1]
    assert not (received / ".7.part").exists()
    assert (received / "notes.txt").exists()


def test_a_safe_name_keeps_ending_letters_and_length() -> None:
    assert make_safe('a/b:c*"d".csv') == "a-b-c--d-.csv"
    assert make_safe("Dachfläche grün.xlsx") == "Dachfläche grün.xlsx"
    long = make_safe("ä" * 300 + ".xlsx")
    assert long.endswith("ä.xlsx")
    assert len(long.encode()) <= 200
    assert make_safe(" .. ") == "file"
