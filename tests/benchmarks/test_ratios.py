"""Ratios taken in one run on one machine, in CPU time; medians; printed, with wide bars."""

import sys
import time
from collections.abc import Callable
from decimal import Decimal
from statistics import median

import duckdb
import polars as pl
import pytest

from pipelines.checking.judging import FirmLists, judge
from pipelines.checking.rules import failed_rows
from pipelines.receiving.reading import read_file
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


def _losses() -> pl.DataFrame:
    number = pl.int_range(ROWS, eager=True)
    return pl.DataFrame(
        {
            "material": pl.Series(["resin"]).gather([0] * ROWS),
            "quantity": (number % 400 + 1).cast(pl.String) + ".5",
            "unit": ["kg"] * ROWS,
            "cause": ["spilt"] * ROWS,
            "lost_on": ["2026-03-01"] * ROWS,
            "notes": "row " + number.cast(pl.String),
        }
    )


@pytest.mark.bench
def test_reading_and_judging_a_clean_file_beside_a_bare_load(tmp_path):
    path = tmp_path / "losses.csv"
    _losses().write_csv(path)
    materials = tmp_path / "materials.csv"
    materials.write_text("material,kind,unit\nresin,resin,kg\n")

    def ours():
        frames = {}
        for no, file in enumerate((materials, path), 1):
            read = read_file(file, file.name, (), RECORDS)
            ((record, rows),) = read.sheets[0].rows.items()
            frames[record] = rows.with_columns(
                pl.lit(no, pl.Int64).alias("receipt_no"),
                pl.lit(1, pl.Int64).alias("batch_no"),
                pl.lit(read.document).alias("document"),
                pl.lit(read.name).alias("file_name"),
            )
        judged = judge(frames, FirmLists())
        assert judged["losses"].history.height == ROWS

    def bare():
        with duckdb.connect(str(tmp_path / f"{time.process_time_ns()}.duckdb")) as connection:
            connection.execute("SET threads = 1")
            connection.execute(
                "CREATE TABLE losses AS SELECT * FROM read_csv($1, header = true)", [str(path)]
            )

    ratio = _cpu_seconds(ours) / _cpu_seconds(bare)

    _tell(f"read, judge, tell entries apart / bare typed load, {ROWS:,} rows", ratio)
    assert ratio < 1000


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
