"""Ratios taken in one run on one machine, in CPU time; medians; printed, with wide bars."""

import sys
import time
from collections.abc import Callable
from decimal import Decimal
from statistics import median

import polars as pl
import pytest

from pipelines.checking.rules import failed_rows
from schemas.records import RECORDS

ROWS = 100_000
REPEATS = 3


def _cpu_seconds(work: Callable[[], object]) -> float:
    taken = []
    for _ in range(REPEATS):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return median(taken)


def _tell(what: str, ratio: float) -> None:
    sys.stdout.write(f"\n{what}: {ratio:.2f}\n")


@pytest.mark.bench
def test_compiled_rules_beside_the_schema_library():
    schema = RECORDS["offcuts"].schema
    number = pl.int_range(ROWS, eager=True)
    rows = pl.DataFrame(
        {
            name: column.dtype.type and pl.Series(name, [None] * ROWS, dtype=column.dtype.type)
            for name, column in schema.columns.items()
        }
    ).with_columns(
        pl.lit("drip trim").alias("material"),
        (number % 2900 + 1).alias("length_mm"),
        pl.lit(1, pl.Int64).alias("pieces"),
        pl.lit("racked").alias("fate"),
        pl.lit("2026-001").alias("job_ref"),
    )
    numbered = rows.with_row_index("row_id")

    ratio = _cpu_seconds(lambda: failed_rows(schema, numbered)) / _cpu_seconds(
        lambda: schema.validate(rows, lazy=True)
    )

    _tell("compiled rules / validation by the schema library, clean rows", ratio)
    assert Decimal(ratio) < 10
