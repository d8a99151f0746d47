"""A run's files take the place of the published ones, whole or not at all."""

import os

import polars as pl
import pytest

from pipelines.errors import BusyError, FolderError
from pipelines.warehouse import publish
from pipelines.warehouse.connection import open_for_reading, open_for_writing
from pipelines.warehouse.tables import append, create_tables
from tests.support.warehouses import find_differences

RUN = """as_of,month_end_on,batch_no,fingerprint,version
2026-06-01,2026-05-31,{batch_no},{fingerprint},0.1.0
"""


@pytest.fixture
def published(tmp_path):
    return tmp_path / "warehouse.duckdb"


def write_next(published, fingerprint, batch_no=1):
    path = publish.clear_next(published)
    connection = open_for_writing(path)
    create_tables(connection)
    text = RUN.format(fingerprint=fingerprint, batch_no=batch_no)
    append(connection, "run.run", pl.read_csv(text.encode(), try_parse_dates=True))
    publish.close_next(connection, path)
    return path


def test_next_takes_the_place_and_leaves_nothing_beside(published):
    write_next(published, "first")
    publish.publish_warehouse(published)

    assert [path.name for path in published.parent.iterdir()] == ["warehouse.duckdb"]
    assert publish.stored_fingerprint(published) == "first"


def test_what_was_published_stands_until_the_next_takes_its_place(published):
    write_next(published, "first")
    publish.publish_warehouse(published)
    write_next(published, "second")

    assert publish.stored_fingerprint(published) == "first"
    publish.publish_warehouse(published)
    assert publish.stored_fingerprint(published) == "second"


def test_one_who_reads_goes_on_with_the_old_rows(published):
    write_next(published, "first")
    publish.publish_warehouse(published)
    with open_for_reading(published) as reader:
        write_next(published, "second")
        publish.publish_warehouse(published)
        row = reader.execute("SELECT last.fingerprint FROM run.run AS last").fetchone()

    assert row == ("first",)


def test_nobody_writes_the_published_file(published):
    with pytest.raises(FolderError, match=r"\.next\.duckdb"):
        open_for_writing(published)


def test_a_file_left_open_is_not_published(published):
    path = write_next(published, "first")
    path.with_name(f"{path.name}.wal").touch()

    with pytest.raises(FolderError, match="not closed"):
        publish.publish_warehouse(published)
    assert not published.exists()


def test_a_stale_log_of_the_old_file_does_not_meet_the_new_one(published):
    write_next(published, "first")
    published.with_name("warehouse.duckdb.wal").write_bytes(b"old")
    publish.publish_warehouse(published)

    assert publish.stored_fingerprint(published) == "first"


def test_a_file_kept_open_elsewhere_is_said_and_the_next_stays(published, monkeypatch):
    path = write_next(published, "first")
    tried = []

    def refuse(source, target):
        tried.append((source, target))
        raise PermissionError

    monkeypatch.setattr(os, "replace", refuse)
    monkeypatch.setattr(publish, "PAUSE_SECONDS", 0)
    with pytest.raises(BusyError, match=r"warehouse\.next\.duckdb"):
        publish.publish_warehouse(published)

    assert len(tried) == publish.ATTEMPTS
    assert path.exists()


def test_no_warehouse_or_a_broken_one_has_no_fingerprint(published):
    assert publish.stored_fingerprint(published) is None
    open_for_writing(publish.next_path(published)).close()
    publish.publish_warehouse(published)
    assert publish.stored_fingerprint(published) is None
    published.write_bytes(b"not a warehouse")
    assert publish.stored_fingerprint(published) is None


def test_pages_are_replaced_and_those_of_older_runs_go(tmp_path):
    ready, pages = tmp_path / "pages.next", tmp_path / "pages"
    (ready / "jobs").mkdir(parents=True)
    (pages / "jobs").mkdir(parents=True)
    (ready / "owner.html").write_text("new")
    (ready / "jobs" / "2025.html").write_text("new")
    (pages / "owner.html").write_text("old")
    (pages / "jobs" / "2024.html").write_text("old")

    publish.publish_pages(ready, pages)

    found = {str(path.relative_to(pages)): path.read_text() for path in pages.rglob("*.html")}
    assert found == {"owner.html": "new", os.path.join("jobs", "2025.html"): "new"}  # noqa: PTH118
    assert not ready.exists()


def test_two_files_are_held_against_each_other(tmp_path):
    first, second = tmp_path / "one.next.duckdb", tmp_path / "two.next.duckdb"
    write_next(tmp_path / "one.duckdb", "same")
    write_next(tmp_path / "two.duckdb", "same")
    assert find_differences(first, second) == {}

    write_next(tmp_path / "two.duckdb", "same", batch_no=2)
    assert find_differences(first, second) == {"run.run": 2}


def test_a_workbook_that_a_person_changed_is_kept_under_a_name_of_its_own(tmp_path):
    ready, pages = tmp_path / "pages.next", tmp_path / "pages"

    def publish_workbook(text):
        ready.mkdir()
        (ready / "allowances.xlsx").write_text(text)
        return publish.publish_pages(ready, pages)

    assert publish_workbook("first") == ()
    assert publish_workbook("second") == ()
    (pages / "allowances.xlsx").write_text("decided by hand")
    (pages / "my own notes.txt").write_text("mine")

    (kept,) = publish_workbook("third")

    assert kept.read_text() == "decided by hand"
    assert (pages / "allowances.xlsx").read_text() == "third"
    assert (pages / "my own notes.txt").read_text() == "mine"
    assert publish_workbook("fourth") == ()
    assert kept.exists()
