"""
The rules of a pandera schema, compiled to expressions.

pandera's own report takes 80 times as long where a column is wholly wrong, and it checks only
types of a lazy frame. The schema stays the single definition: a property test holds the rows and
rules found here equal to pandera's.
"""

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any

import pandera.polars as pa
import polars as pl
from pandera.api.polars.types import PolarsData

from pipelines.checking.findings import FAULT_COLUMNS

BLANK = "is blank, and it is needed"

_BUILT_IN: Mapping[str, Callable[[pl.Expr, Mapping[str, Any]], pl.Expr]] = {
    "greater_than": lambda value, told: value > told["min_value"],
    "greater_than_or_equal_to": lambda value, told: value >= told["min_value"],
    "isin": lambda value, told: value.is_in(list(told["allowed_values"])),
    "in_range": lambda value, told: value.is_between(told["min_value"], told["max_value"]),
}


@dataclass(frozen=True, eq=False)
class CompiledRule:
    """One rule: the column it speaks of, its name, what a failure says, rows that pass."""

    column: str
    name: str
    says: str
    passes: pl.Expr | Callable[[pl.LazyFrame], pl.LazyFrame]


def compile_rules(schema: pa.DataFrameSchema) -> list[CompiledRule]:
    """Return every rule of `schema`; a check that has no expression here is a TypeError."""
    return [*_column_rules(schema), *_frame_rules(schema)]


def _column_rules(schema: pa.DataFrameSchema) -> Iterator[CompiledRule]:
    if schema.unique:
        raise TypeError(f"{schema.name}: no expression for uniqueness")
    for name, column in schema.columns.items():
        if column.unique or column.regex:
            raise TypeError(f"{schema.name}.{name}: no expression for uniqueness or name patterns")
        if not column.nullable:
            yield CompiledRule(name, "not_nullable", BLANK, pl.col(name).is_not_null())
        for check in column.checks:
            if check.name not in _BUILT_IN:
                raise TypeError(f"{schema.name}.{name}: no expression for check {check.name}")
            passes = _BUILT_IN[check.name](pl.col(name), check.statistics)
            yield CompiledRule(name, check.name, str(check.error), passes)


def _frame_rules(schema: pa.DataFrameSchema) -> Iterator[CompiledRule]:
    for check in schema.checks:
        found = check._check_fn  # noqa: SLF001 - pandera has no public way to a check's function

        def passes(
            lazy: pl.LazyFrame, found: Callable[[PolarsData], pl.LazyFrame] = found
        ) -> pl.LazyFrame:
            return found(PolarsData(lazy, "*"))

        column = str(check.title)
        yield CompiledRule(column, str(check.name), str(check.error), passes)


def failed_rows(
    schema: pa.DataFrameSchema, rows: pl.DataFrame
) -> list[tuple[CompiledRule, pl.Series]]:
    """
    Return each rule that some row fails, with a Boolean column that is true where it does.

    A lazy frame is a TypeError: pandera would check its types only, and say nothing.
    """
    if not isinstance(rows, pl.DataFrame):
        raise TypeError("rules are checked on rows that are there, not on a lazy frame")
    rules = compile_rules(schema)
    lazy = rows.lazy()
    asked = [
        lazy.select(rule.passes) if isinstance(rule.passes, pl.Expr) else rule.passes(lazy)
        for rule in rules
    ]
    answers = (answer.to_series(0) for answer in pl.collect_all(asked))
    failed = [~answer.fill_null(value=True) for answer in answers]
    return [(rule, mask) for rule, mask in zip(rules, failed, strict=True) if mask.any()]


def find_faults(schema: pa.DataFrameSchema, rows: pl.DataFrame) -> pl.DataFrame:
    """Return a fault for each row of `rows` (with `row_id`) and each rule that it fails."""
    faults = [
        rows.filter(mask).select(
            "row_id",
            pl.lit(rule.column).alias("column_name"),
            pl.col(rule.column).cast(pl.String).alias("value"),
            pl.lit(rule.says).alias("reason"),
            pl.lit("correct it and hand the row in again").alias("remedy"),
        )
        for rule, mask in failed_rows(schema, rows)
    ]
    return pl.concat([pl.DataFrame(schema=FAULT_COLUMNS), *faults])
