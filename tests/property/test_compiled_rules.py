"""The compiled rules find the rows and rules that pandera itself finds, and guess at nothing."""

from datetime import date
from decimal import Decimal
from typing import Any

import pandera.polars as pa
import polars as pl
import pytest
from hypothesis import given
from hypothesis import settings as run_settings
from hypothesis import strategies as st
from pandera.errors import SchemaErrors

from pipelines.checking.rules import BLANK, compile_rules, failed_rows, find_faults
from schemas.records import RECORDS

NAMES = ("jobs", "materials", "job_materials", "offcuts", "purchases", "stock_counts", "decisions")

Found = set[tuple[int, str, str]]

edges_of_days = [date(1989, 12, 31), date(1990, 1, 1), date(2026, 3, 1), date(2026, 3, 2)]
edges_of_days += [date(2099, 12, 31), date(2100, 1, 1)]
edges_of_numbers = [
    -31,
    -30,
    -1,
    0,
    1,
    2,
    19,
    20,
    21,
    50,
    99,
    100,
    101,
    2000,
    2001,
    20_001,
    200_001,
]


def _values(column: pa.Column) -> st.SearchStrategy[Any]:
    dtype = column.dtype.type
    if dtype == pl.Date:
        return st.sampled_from(edges_of_days)
    if dtype == pl.String:
        words = [word for check in column.checks for word in check.statistics["allowed_values"]]
        return st.sampled_from([*words[:3], "", "goods", "Resin", "patching"])
    numbers = st.sampled_from(edges_of_numbers)
    if dtype == pl.Int64:
        return numbers
    tenths = st.sampled_from([Decimal(0), Decimal("0.1"), Decimal("0.5"), Decimal("-0.1")])
    return st.builds(lambda whole, part: whole + part, numbers, tenths)


@st.composite
def _frames(draw: st.DrawFn) -> tuple[pa.DataFrameSchema, pl.DataFrame]:
    schema = RECORDS[draw(st.sampled_from(NAMES))].schema
    height = draw(st.integers(0, 4))
    filled = draw(st.sets(st.sampled_from(sorted(schema.columns)), max_size=12))
    columns = {
        name: pl.Series(
            name,
            [draw(st.none() | _values(column)) if name in filled else None for _ in range(height)],
            dtype=column.dtype.type,
        )
        for name, column in schema.columns.items()
    }
    return schema, pl.DataFrame(columns)


def _found_by_pandera(schema: pa.DataFrameSchema, rows: pl.DataFrame) -> Found:
    try:
        schema.validate(rows, lazy=True)
    except SchemaErrors as errors:
        return {_case(schema, case) for case in errors.failure_cases.iter_rows(named=True)}
    return set()


def _case(schema: pa.DataFrameSchema, case: dict[str, Any]) -> tuple[int, str, str]:
    """Return row, column and message; a rule of the frame speaks of the column in its title."""
    whole = case["schema_context"] == "DataFrameSchema"
    column = schema.checks[case["check_number"]].title if whole else case["column"]
    message = BLANK if case["check"] == "not_nullable" else case["check"]
    return case["index"], column, message


@given(_frames())
@run_settings(max_examples=80, deadline=None)
def test_rows_and_rules_found_are_panderas(frame: tuple[pa.DataFrameSchema, pl.DataFrame]) -> None:
    schema, rows = frame
    found = {
        (row, rule.column, rule.says)
        for rule, failed in failed_rows(schema, rows)
        for row in failed.arg_true()
    }

    assert found == _found_by_pandera(schema, rows)


@given(_frames())
@run_settings(max_examples=25, deadline=None)
def test_faults_name_the_row_the_column_and_its_value(
    frame: tuple[pa.DataFrameSchema, pl.DataFrame],
) -> None:
    schema, rows = frame
    numbered = rows.with_columns(row_id=pl.int_range(100, 100 + rows.height, dtype=pl.Int64))
    faults = find_faults(schema, numbered)

    found = faults.select(pl.col("row_id") - 100, "column_name", "reason").rows()
    assert set(found) == _found_by_pandera(schema, rows)
    for row_id, column, told in faults.select("row_id", "column_name", "value").iter_rows():
        value = rows[row_id - 100, column]
        assert told == (None if value is None else str(value))


def test_every_record_has_rules_and_all_of_them_compile() -> None:
    for record in RECORDS.values():
        rules = compile_rules(record.schema)
        checks = sum(len(column.checks) for column in record.schema.columns.values())
        needed = sum(not column.nullable for column in record.schema.columns.values())
        assert len(rules) == checks + needed + len(record.schema.checks)


@pytest.mark.parametrize(
    "schema",
    [
        pa.DataFrameSchema({"a": pa.Column(pl.String, pa.Check.str_length(1, 2))}, name="longer"),
        pa.DataFrameSchema({"a": pa.Column(pl.String, unique=True)}, name="once"),
        pa.DataFrameSchema({"a": pa.Column(pl.String)}, unique=["a"], name="once together"),
    ],
)
def test_a_schema_with_a_check_that_has_no_expression_is_refused(
    schema: pa.DataFrameSchema,
) -> None:
    with pytest.raises(TypeError, match="no expression"):
        failed_rows(schema, pl.DataFrame({"a": ["abc"]}))


def test_a_lazy_frame_is_refused() -> None:
    schema = RECORDS["jobs"].schema
    lazy = pl.LazyFrame(schema={name: column.dtype.type for name, column in schema.columns.items()})

    with pytest.raises(TypeError, match="lazy frame"):
        find_faults(schema, lazy)  # type: ignore[arg-type]
