"""Tables made from the schemas take what the schemas take, and refuse what they refuse."""

from datetime import date
from decimal import Decimal

import polars as pl
import pytest

from pipelines.errors import StoppedError
from pipelines.warehouse.connection import Connection, open_in_memory
from pipelines.warehouse.tables import append, create_tables, fetch

ORIGIN = {"receipt_no": 1, "batch_no": 1, "sheet": "", "row_no": 2, "part_no": 1}
JOB = {
    "job_ref": "2025-001",
    "job_type": "garage",
    "work": "strip",
    "completed_on": date(2025, 7, 1),
    "quoted_area_m2": Decimal("20.125"),
    "quoted_price_gbp": Decimal("1000.10"),
    "emptied": ["notes"],
} | ORIGIN


@pytest.fixture
def connection():
    with open_in_memory() as opened:
        create_tables(opened)
        yield opened


def add_job(connection: Connection, **changes: object) -> None:
    append(connection, "history.jobs", pl.DataFrame([JOB | changes]))


def test_a_row_comes_back_as_it_went_in(connection):
    add_job(connection)

    row = fetch(connection, "history.jobs").row(0, named=True)
    assert {name: row[name] for name in JOB} == JOB
    assert row["crew"] is None


@pytest.mark.parametrize(
    "changes",
    [
        {"job_ref": None},
        {"work": "roofing"},
        {"quoted_area_m2": Decimal("-0.001")},
        {"completed_on": date(1989, 12, 31)},
        {"receipt_no": None},
    ],
)
def test_what_the_schema_forbids_is_refused(connection, changes):
    with pytest.raises(StoppedError, match=r"writing history\.jobs"):
        add_job(connection, **changes)


@pytest.mark.parametrize(("pack_size", "is_taken"), [("0.001", True), ("0", False)])
def test_above_means_above(connection, pack_size, is_taken):
    row = {
        "material": "resin",
        "kind": "resin",
        "unit": "kg",
        "base_unit": "kg",
        "pack_size": Decimal(pack_size),
    } | ORIGIN
    if is_taken:
        append(connection, "history.materials", pl.DataFrame([row]))
        assert fetch(connection, "history.materials", ["pack_size"]).item() == Decimal(pack_size)
    else:
        with pytest.raises(StoppedError):
            append(connection, "history.materials", pl.DataFrame([row]))


def test_a_column_that_the_table_lacks_is_refused(connection):
    with pytest.raises(StoppedError, match="colour_of_the_van"):
        add_job(connection, colour_of_the_van="red")


def test_whole_numbers_come_back_as_whole_numbers(connection):
    add_job(connection)
    connection.execute(
        "CREATE VIEW history.summed AS SELECT sum(row_no) AS row_count FROM history.jobs"
    )

    assert fetch(connection, "history.summed").schema == {"row_count": pl.Int64}


def test_a_relation_that_is_not_there_is_said_in_words(connection):
    with pytest.raises(StoppedError, match=r"reading history\.roofs"):
        fetch(connection, "history.roofs")
