"""A fault that stops a run is named; one that warns is written down."""

import polars as pl
import pytest

from pipelines.errors import StoppedError
from pipelines.warehouse.checks import checks, run_checks
from pipelines.warehouse.connection import open_in_memory
from pipelines.warehouse.relations import make_relation, views
from pipelines.warehouse.tables import append, create_tables

FILE = {
    "is_proved": False,
    "receipt_no": 1,
    "batch_no": 1,
    "file_name": "jobs.csv",
    "document": "jobs",
    "source": "canonical",
    "outcome": "taken in",
    "repaired_count": 0,
    "rejected_count": 2,
    "already_held_count": 0,
    "skipped_count": 1,
}

JOB = {"job_type": "garage", "receipt_no": 1, "batch_no": 1, "sheet": "", "part_no": 1}


@pytest.fixture
def connection():
    with open_in_memory() as opened:
        create_tables(opened)
        yield opened


def work_out(connection, rows_read_count, jobs=()):
    """Fill a warehouse with one file and the jobs that came in it."""
    counts = {"rows_read_count": rows_read_count + len(jobs), "accepted_count": len(jobs)}
    frame = pl.DataFrame([FILE | counts]).with_columns(
        pl.lit("2026-06-01 08:00:00").str.to_datetime(time_zone="UTC").alias("batch_at")
    )
    append(connection, "receipt.file", frame)
    append(connection, "history.jobs", pl.DataFrame([JOB | job for job in jobs]))
    for name in views():
        make_relation(connection, name)


def test_every_check_has_an_outcome(connection):
    work_out(connection, rows_read_count=3)

    outcomes = run_checks(connection)
    assert outcomes["check_name"].to_list() == list(checks())
    assert outcomes["fault_count"].sum() == 0


def test_a_row_that_is_lost_stops_the_run_and_the_file_is_named(connection):
    work_out(connection, rows_read_count=4)

    with pytest.raises(StoppedError, match=r"jobs\.csv: 4 rows read, 3 with an outcome"):
        run_checks(connection)


def test_a_warning_is_counted_and_the_first_one_told(connection):
    jobs = [
        {"job_ref": "2025-001", "lay_up": "300 woven", "row_no": 2},
        {"job_ref": "2025-002", "lay_up": "900 woven", "row_no": 3},
    ]
    work_out(connection, rows_read_count=3, jobs=jobs)

    outcome = run_checks(connection).row(
        by_predicate=pl.col("check_name") == "lay_up_not_in_settings", named=True
    )
    assert (outcome["severity"], outcome["fault_count"]) == ("warn", 2)
    assert outcome["fault"].startswith('lay-up "300 woven" of 1 jobs')
    assert outcome["fault"].endswith("(and 1 more)")
