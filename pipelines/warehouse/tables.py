"""Tables of the warehouse, made from the schemas; rows in and out of them."""

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any

import pandera.polars as pa
import polars as pl

from pipelines.warehouse.connection import Connection, in_words
from schemas.record import Record
from schemas.records import PROVENANCE, RECORDS
from schemas.tables import TABLES

EMPTIED = "emptied"
_PLAIN_TYPES: Mapping[type[pl.DataType], str] = {
    pl.String: "VARCHAR",
    pl.Date: "DATE",
    pl.Int64: "BIGINT",
    pl.Float64: "DOUBLE",
    pl.Boolean: "BOOLEAN",
    pl.Datetime: "TIMESTAMPTZ",
}
_LIMITS = {
    "greater_than_or_equal_to": ">= {min_value}",
    "greater_than": "> {min_value}",
    "in_range": "BETWEEN {min_value} AND {max_value}",
}


def create_tables(connection: Connection) -> None:
    """
    Make every table of a run, empty, and the schemas that they stand in.

    Raises:
        StoppedError: a table of that name stands already.

    """
    for relation, columns in _definitions().items():
        schema = relation.split(".")[0]
        lines = ", ".join(columns.values())
        with in_words(f"making {relation}"):
            connection.execute(f"CREATE SCHEMA IF NOT EXISTS {schema}")
            connection.execute(f"CREATE TABLE {relation} ({lines})")


def append(connection: Connection, relation: str, frame: pl.DataFrame) -> None:
    """
    Add the rows of a frame to a table, column by column name.

    Columns of the table that the frame lacks stay blank.

    Raises:
        StoppedError: a column that the table lacks, or a row that it refuses.

    """
    if frame.is_empty():
        return
    with in_words(f"writing {relation}"):
        connection.register("handed_over", frame.to_arrow())
        connection.execute(f"INSERT INTO {relation} BY NAME SELECT * FROM handed_over")  # noqa: S608 - a name of the schemas
        connection.unregister("handed_over")


def fetch(
    connection: Connection, relation: str, columns: Sequence[str] | None = None
) -> pl.DataFrame:
    """
    Read a table or view, in its own order; whole numbers come as Int64.

    Args:
        connection: an open warehouse.
        relation: schema and name.
        columns: which of its columns; all where none is named.

    Raises:
        StoppedError: no such relation or column.

    """
    with in_words(f"reading {relation}"):
        described = connection.execute(f"DESCRIBE {relation}").fetchall()
        types = {name: str(kind) for name, kind, *_ in described}
        names = list(types) if columns is None else list(columns)
        shown = ", ".join(_as_int64(name, types.get(name, "")) for name in names)
        rows: pl.DataFrame = connection.sql(f"SELECT {shown} FROM {relation}").pl()  # noqa: S608 - names of the schemas, not of people
    return rows


def _as_int64(name: str, kind: str) -> str:
    quoted = f'"{name}"'
    narrow = kind in {"HUGEINT", "INTEGER", "SMALLINT", "TINYINT", "UBIGINT", "UINTEGER"}
    return f"CAST({quoted} AS BIGINT) AS {quoted}" if narrow else quoted


@cache
def _definitions() -> dict[str, dict[str, str]]:
    history = {f"history.{name}": _history(record) for name, record in RECORDS.items()}
    return history | {name: _lines(schema.columns) for name, schema in TABLES.items()}


def _history(record: Record) -> dict[str, str]:
    own = _lines(record.schema.columns)
    if record.name == "materials":
        own["base_unit"] = '"base_unit" VARCHAR NOT NULL'
    origin = {name: f'"{name}" {_PLAIN_TYPES[kind]} NOT NULL' for name, kind in PROVENANCE.items()}
    return own | origin | {EMPTIED: f'"{EMPTIED}" VARCHAR[]'}


def _lines(columns: Mapping[str, pa.Column]) -> dict[str, str]:
    return {name: _line(name, column) for name, column in columns.items()}


def _line(name: str, column: pa.Column) -> str:
    needed = "" if column.nullable else " NOT NULL"
    checks = "".join(f" CHECK ({_condition(name, check)})" for check in column.checks)
    return f'"{name}" {_sql_type(column.dtype.type)}{needed}{checks}'


def _sql_type(dtype: Any) -> str:  # noqa: ANN401 - a polars type or class
    if isinstance(dtype, pl.Decimal):
        return f"DECIMAL({dtype.precision}, {dtype.scale})"
    return _PLAIN_TYPES[dtype if isinstance(dtype, type) else type(dtype)]


def _condition(name: str, check: pa.Check) -> str:
    limits = {key: _literal(value) for key, value in (check.statistics or {}).items()}
    if check.name == "isin":
        return f'"{name}" IN ({limits["allowed_values"]})'
    return f'"{name}" {_LIMITS[str(check.name)].format(**limits)}'


def _literal(value: Any) -> str:  # noqa: ANN401 - whatever a check compares with
    if isinstance(value, (list, tuple)):
        return ", ".join(_literal(each) for each in value)
    if isinstance(value, (int, float)):
        return str(value)
    text = str(value).replace("'", "''")
    return f"'{text}'"
