"""A firm's own CSV received, judged and booked, in CPU time beside a bare load of the same file."""

import multiprocessing
import resource
import sys
import time
from collections.abc import Callable, Sequence
from datetime import UTC, datetime
from pathlib import Path
from statistics import median
from typing import NamedTuple

import duckdb
import pytest

from pipelines.month.receipts import judge_receipts, read_receipts
from pipelines.receiving.register import Receipt, take_in
from pipelines.settings import read_settings
from pipelines.warehouse.connection import open_for_writing
from pipelines.warehouse.tables import append, create_tables
from tests.support.purchase_files import write_materials_and_jobs, write_purchases
from tests.support.small_firm import SETTINGS

LONG, SHORT = 1_000_000, 100_000
NOW = datetime(2026, 11, 25, 12, tzinfo=UTC)


class Taken(NamedTuple):
    """CPU seconds to read, to judge and to book; rows by outcome; GB at most."""

    read: float
    judge: float
    book: float
    outcomes: dict[str, int]
    most_gb: float


def _cpu_seconds(work: Callable[[], object]) -> tuple[float, object]:
    start = time.process_time()
    made = work()
    return time.process_time() - start, made


def _receive(folder: Path, files: Sequence[Path]) -> Taken:
    (folder / "settings.toml").write_text(SETTINGS)
    settings = read_settings(folder / "settings.toml")
    receipts = [Receipt(no, NOW, "", file.name, file) for no, file in enumerate(files, 1)]
    read_s, read = _cpu_seconds(lambda: read_receipts(receipts, (), lambda *_: None))
    judge_s, tables = _cpu_seconds(lambda: judge_receipts(read, settings, NOW.date()))

    def book() -> None:
        booked = folder / "booked.next.duckdb"
        booked.unlink(missing_ok=True)
        with open_for_writing(booked) as connection:
            create_tables(connection)
            for relation, frame in tables.items():
                append(connection, relation, frame)

    book_s, _ = _cpu_seconds(book)
    counts = tables["receipt.row_outcome"].filter(record="purchases")["outcome"].value_counts()
    most_gb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    return Taken(read_s, judge_s, book_s, dict(counts.iter_rows()), most_gb)


def _load_bare(folder: Path, file: Path) -> float:
    with duckdb.connect(str(folder / "bare.duckdb")) as connection:
        query = "CREATE OR REPLACE TABLE lines AS SELECT * FROM read_csv($1, header = true)"
        taken = [_cpu_seconds(lambda: connection.execute(query, [str(file)]))[0] for _ in range(3)]
    return median(taken)


def _apart(work: Callable[..., object], *given: object) -> object:
    """Do work in a process of its own, so that its memory is its own."""
    with multiprocessing.get_context("spawn").Pool(1) as pool:
        return pool.apply(work, given)


def _measure(folder: Path, count: int, **shares: float) -> tuple[Taken, float]:
    purchases = write_purchases(folder / "purchases.csv", count, **shares)
    taken = _apart(_receive, folder, [*write_materials_and_jobs(folder), purchases])
    bare = _apart(_load_bare, folder, purchases)
    assert isinstance(taken, Taken)
    assert isinstance(bare, float)
    sys.stdout.write(
        f"\n{count:,} lines of 20 columns, {shares or 'clean'}: read {taken.read:.2f} s, judge "
        f"{taken.judge:.2f} s, {(taken.read + taken.judge) / bare:.2f} times a bare load "
        f"({bare:.2f} s); booked too {sum(taken[:3]) / bare:.2f}; {taken.most_gb:.2f} GB\n"
    )
    return taken, bare


@pytest.mark.bench
@pytest.mark.parametrize("count", [SHORT, LONG])
def test_clean_lines_beside_a_bare_load(tmp_path, count):
    taken, bare = _measure(tmp_path, count)
    assert taken.outcomes == {"clean": count}
    assert (taken.read + taken.judge) / bare < 4


@pytest.mark.bench
def test_lines_of_which_one_in_twenty_is_mended(tmp_path):
    taken, bare = _measure(tmp_path, LONG, mended=0.05)
    assert taken.outcomes == {"clean": LONG * 19 // 20, "repaired": LONG // 20}
    assert (taken.read + taken.judge) / bare < 4


@pytest.mark.bench
@pytest.mark.parametrize("bad", [0.05, 0.5, 1.0])
def test_bad_lines_beside_clean_ones(tmp_path, bad):
    clean, _ = _measure(tmp_path, LONG)
    taken, _ = _measure(tmp_path, LONG, bad=bad)
    ratio = (taken.read + taken.judge) / (clean.read + clean.judge)
    sys.stdout.write(f"\n{bad:.0%} of the lines bad: {ratio:.2f} times clean\n")
    assert taken.outcomes["rejected"] == round(LONG * bad)
    assert ratio < 4


@pytest.mark.bench
def test_a_file_that_is_held_beside_its_first_load(tmp_path):
    (tmp_path / "inbox").mkdir()
    write_purchases(tmp_path / "inbox" / "purchases.csv", LONG)
    folders = tmp_path / "inbox", tmp_path / "received"
    first_s, _ = _cpu_seconds(lambda: take_in(*folders, NOW))
    again_s, batch = _cpu_seconds(lambda: take_in(*folders, NOW))
    taken, _ = _measure(tmp_path, LONG)
    ratio = again_s / (first_s + sum(taken[:3]))
    sys.stdout.write(f"\na file already held: {ratio:.3f} of its first load\n")
    assert len(batch.held) == 1
    assert ratio <= 0.1


@pytest.mark.bench
def test_ten_small_files_are_received_and_booked(tmp_path):
    files = write_materials_and_jobs(tmp_path)
    for no in range(8):
        files.append(write_purchases(tmp_path / f"purchases {no}.csv", 140, first=140 * no))
    started = time.perf_counter()
    taken = _receive(tmp_path, files)
    took = time.perf_counter() - started
    sys.stdout.write(f"\nten small files received and booked in {took:.2f} s\n")
    assert taken.outcomes == {"clean": 8 * 140}
    assert took < 2
