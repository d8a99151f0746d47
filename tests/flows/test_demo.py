"""The invented firm from received files to pages, and what stays equal when it is done again."""

import shutil
from datetime import UTC, datetime

import pytest

from pipelines.month.run import run_month
from pipelines.receiving.register import take_in
from reports.pages import read_pages_fingerprint
from tests.support.warehouses import find_differences


def test_every_row_of_every_file_ends_in_exactly_one_outcome(demo, ask):
    broken = ask(
        demo.root,
        """
        SELECT file.file_name
        FROM receipt.file AS file
        WHERE file.rows_read_count != file.accepted_count + file.rejected_count
            + file.already_held_count + file.skipped_count
        """,
    )
    files = ask(demo.root, "SELECT count(*) FROM receipt.file AS file")[0][0]

    assert broken == []
    assert files == len(list((demo.root / "received").iterdir()))
    assert files == demo.summary.files_count + len(demo.summary.closed)


def test_the_inbox_is_clear_and_the_pages_stand(demo):
    assert list((demo.root / "inbox").iterdir()) == []
    assert {page.name for page in (demo.root / "pages").glob("*.html")} >= {
        "start.html",
        "owner.html",
        "estimator.html",
        "buyer.html",
    }
    assert demo.summary.rejects is not None
    assert demo.summary.rejects.is_file()
    assert not list(demo.root.glob("*.wal"))


def test_pages_carry_the_fingerprint_of_the_warehouse(demo, ask):
    told = ask(demo.root, "SELECT run.fingerprint FROM run.run AS run")[0][0]

    assert read_pages_fingerprint(demo.root / "pages") == told


@pytest.fixture
def copy_of_demo(demo, tmp_path):
    return shutil.copytree(demo.root, tmp_path / "copy")


def test_a_second_run_says_that_nothing_is_new(copy_of_demo):
    before = (copy_of_demo / "warehouse.duckdb").read_bytes()

    summary = run_month(copy_of_demo)

    assert not summary.is_new
    assert (copy_of_demo / "warehouse.duckdb").read_bytes() == before


def test_a_deleted_warehouse_is_made_again_equal(demo, copy_of_demo):
    (copy_of_demo / "warehouse.duckdb").unlink()
    shutil.rmtree(copy_of_demo / "pages")
    shutil.rmtree(copy_of_demo / "rejects")

    summary = run_month(copy_of_demo)

    assert summary.is_new
    assert find_differences(demo.root / "warehouse.duckdb", copy_of_demo / "warehouse.duckdb") == {}
    for page in (demo.root / "pages").glob("*.html"):
        assert (copy_of_demo / "pages" / page.name).read_bytes() == page.read_bytes()
    assert [file.name for file in (copy_of_demo / "rejects").iterdir()] == [
        file.name for file in (demo.root / "rejects").iterdir()
    ]


def test_pages_of_another_run_are_published_again(copy_of_demo):
    page = copy_of_demo / "pages" / "owner.html"
    sound = page.read_bytes()
    for each in (copy_of_demo / "pages").glob("*.html"):
        each.unlink()

    summary = run_month(copy_of_demo)

    assert not summary.is_new
    assert page.read_bytes() == sound


@pytest.mark.slow
def test_files_of_a_run_that_was_broken_off_are_told_by_the_next(copy_of_demo):
    (later,) = (copy_of_demo / "later").iterdir()
    shutil.copyfile(later, copy_of_demo / "inbox" / later.name)
    take_in(copy_of_demo / "inbox", copy_of_demo / "received", datetime.now(tz=UTC))

    summary = run_month(copy_of_demo)

    assert (summary.files_count, summary.accepted_count) == (1, 3)
    assert list((copy_of_demo / "inbox").iterdir()) == []


def test_a_file_held_already_changes_nothing(copy_of_demo):
    one = min((copy_of_demo / "received").iterdir())
    shutil.copyfile(one, copy_of_demo / "inbox" / f"the same again{one.suffix}")

    summary = run_month(copy_of_demo)

    assert not summary.is_new
    assert summary.held_files_count == 1
    assert list((copy_of_demo / "inbox").iterdir()) == []


def test_a_correction_in_a_later_run_comes_into_force(copy_of_demo, ask):
    shutil.move(next((copy_of_demo / "later").iterdir()), copy_of_demo / "inbox")
    before = ask(copy_of_demo, "SELECT count(*) FROM history.jobs AS jobs")[0][0]
    jobs = ask(copy_of_demo, "SELECT count(*) FROM ledger.jobs AS jobs")[0][0]

    summary = run_month(copy_of_demo)

    assert summary.is_new
    assert summary.accepted_count == 3
    assert summary.rejected_count == 0
    assert ask(copy_of_demo, "SELECT count(*) FROM history.jobs AS jobs")[0][0] == before + 2
    assert ask(copy_of_demo, "SELECT count(*) FROM ledger.jobs AS jobs")[0][0] == jobs
