"""Files dropped in one batch or in many come to the same ledger and the same figures."""

import shutil
from datetime import UTC, datetime, timedelta
from pathlib import Path

import duckdb
import pytest

from pipelines.month.demonstration import prepare_demonstration
from pipelines.month.run import run_month
from pipelines.receiving.register import clear_inbox, take_in

NUMBERS = {"receipt_no", "sheet", "row_no", "part_no", "batch_no", "fingerprint", "last_on"}
"""Numbers of receipts and runs, the place in the newest receipt, the day of the last batch."""
HOLD_NUMBERS = ("receipt.", "history.", "run.")
KEPT_BY_BATCH = {
    "ledger.closed_figures", "comparison.restatement", "result.closed_again", "page.closed_month",
    "page.restatement",
}  # fmt: skip
"""A closing keeps what stood by its own batch: there batches make the difference, on purpose."""
START = datetime(2026, 6, 1, 7, tzinfo=UTC)


def _dropped(root: Path, batches: int) -> Path:
    """Drop the invented firm's files in so many batches, its correction in one more."""
    prepare_demonstration(root)
    files = sorted((root / "inbox").iterdir())
    waiting = root / "waiting"
    (root / "inbox").rename(waiting)
    (root / "inbox").mkdir()
    for at in range(batches):
        for file in files[at::batches]:
            (waiting / file.name).rename(root / "inbox" / file.name)
        _take(root, at)
    for file in (root / "later").iterdir():
        shutil.copyfile(file, root / "inbox" / file.name)
    _take(root, batches)
    return root


def _take(root: Path, at: int) -> None:
    clear_inbox(take_in(root / "inbox", root / "received", START + timedelta(days=at)))


def _figures(root: Path) -> dict[str, list[tuple[object, ...]]]:
    """Return every relation that holds no receipt or run numbers, its rows in order."""
    found = {}
    with duckdb.connect(str(root / "warehouse.duckdb"), read_only=True) as connection:
        tables = connection.execute(
            """
            SELECT columns.schema_name || '.' || columns.table_name, list(columns.column_name)
            FROM duckdb_columns() AS columns
            WHERE columns.schema_name NOT IN ('information_schema', 'main', 'pg_catalog')
            GROUP BY ALL
            """
        ).fetchall()
        for name, columns in sorted(tables):
            if name.startswith(HOLD_NUMBERS) or name in KEPT_BY_BATCH:
                continue
            shown = ", ".join(f'"{column}"' for column in sorted(set(columns) - NUMBERS))
            found[name] = connection.execute(f"SELECT {shown} FROM {name} ORDER BY ALL").fetchall()  # noqa: S608 - its own relations
    return found


@pytest.fixture(scope="module")
def in_one_batch(tmp_path_factory):
    root = _dropped(tmp_path_factory.mktemp("one") / "firm", 1)
    run_month(root)
    return _figures(root)


@pytest.mark.parametrize("batches", [2, pytest.param(24, marks=pytest.mark.slow)])
def test_batches_make_no_difference(in_one_batch, tmp_path, batches):
    root = _dropped(tmp_path / "firm", batches)

    run_month(root)
    found = _figures(root)

    assert len(in_one_batch) > 40
    assert found.keys() == in_one_batch.keys()
    assert [name for name, rows in found.items() if rows != in_one_batch[name]] == []


@pytest.mark.slow
def test_a_run_after_every_one_of_24_batches_makes_no_difference(in_one_batch, tmp_path):
    root = tmp_path / "firm"
    prepare_demonstration(root)
    files = sorted((root / "inbox").iterdir())
    waiting = root / "waiting"
    (root / "inbox").rename(waiting)
    for at in range(24):
        (root / "inbox").mkdir(exist_ok=True)
        for file in files[at::24]:
            (waiting / file.name).rename(root / "inbox" / file.name)
        run_month(root)
    for file in (root / "later").iterdir():
        shutil.copyfile(file, root / "inbox" / file.name)
    run_month(root)

    found = _figures(root)

    assert [name for name, rows in found.items() if rows != in_one_batch[name]] == []
