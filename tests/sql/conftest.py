"""One relation at a time, over drawn tables."""

from collections.abc import Callable, Iterator

import duckdb
import polars as pl
import pytest

from pipelines.warehouse.checks import checks
from pipelines.warehouse.connection import open_in_memory
from pipelines.warehouse.relations import make_relation, views
from pipelines.warehouse.tables import append, create_tables
from tests.support.drawn import table

Relation = Callable[..., pl.DataFrame]

USUAL = {
    "usage.calendar": """
        as_of      | month_end_on | lately_from_on | before_from_on | year_from_on | two_years_from_on
        -----------+--------------+----------------+----------------+--------------+------------------
        2026-06-01 | 2026-05-31   | 2026-03-01     | 2025-12-01     | 2025-06-01   | 2024-06-01
    """,
    "setting.firm": """
        firm       | depot | as_of      | month_end_on | yard | labour_day_gbp | left_aim_ratio
        -----------+-------+------------+--------------+------+----------------+---------------
        Test Roofs |       | 2026-06-01 | 2026-05-31   | yard | 210.00         | 0.4
    """,
}
"""What a relation that reads it finds, unless the test draws its own."""


@pytest.fixture(scope="session")
def whole() -> Iterator[duckdb.DuckDBPyConnection]:
    connection = open_in_memory()
    create_tables(connection)
    for name in views():
        make_relation(connection, name)
    yield connection
    connection.close()


@pytest.fixture
def relation(whole: duckdb.DuckDBPyConnection) -> Relation:
    """Give the rows of a view or check over drawn tables, each named without its schema."""

    def select(name: str, **drawings: str) -> pl.DataFrame:
        is_check = name.startswith("checks.")
        view = checks()[name.removeprefix("checks.")] if is_check else views()[name]
        drawn = {_full_name(key, view.reads): text for key, text in drawings.items()}
        with open_in_memory() as connection:
            for read in view.reads:
                _make(connection, whole, read)
                if text := drawn.get(read, USUAL.get(read)):
                    append(connection, read, table(text))
            rows: pl.DataFrame = connection.sql(view.select).pl()
            return rows

    return select


def _full_name(key: str, reads: frozenset[str]) -> str:
    (name,) = [read for read in reads if read.split(".")[1] == key]
    return name


def _make(
    connection: duckdb.DuckDBPyConnection, whole: duckdb.DuckDBPyConnection, name: str
) -> None:
    described = whole.execute(f"DESCRIBE {name}").fetchall()
    columns = ", ".join(f'"{column}" {kind}' for column, kind, *_ in described)
    connection.execute(f"CREATE SCHEMA IF NOT EXISTS {name.split('.', maxsplit=1)[0]}")
    connection.execute(f"CREATE TABLE {name} ({columns})")
