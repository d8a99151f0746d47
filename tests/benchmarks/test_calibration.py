"""The whole calibration beside exact medians of the same lines, in CPU time."""

import resource
import sys
import time
from collections.abc import Callable
from datetime import date

import duckdb
import numpy as np
import polars as pl
import pytest

from pipelines.calibration.fits import fit_all

MATERIALS = 12
TYPES = 10
SANE_RATIO = 20


def _invent(count: int) -> pl.DataFrame:
    chance = np.random.default_rng(5)
    base = np.exp(chance.normal(3, 0.6, count))
    material = np.arange(count) * MATERIALS // count
    return pl.DataFrame(
        {
            "material": pl.Series(material).cast(pl.String),
            "kind": pl.repeat("resin", count, eager=True),
            "base_unit": pl.repeat("kg", count, eager=True),
            "job_ref": pl.int_range(count, eager=True).cast(pl.String),
            "job_type": pl.Series(chance.integers(0, TYPES, count)).cast(pl.String),
            "completed_on": pl.Series(chance.integers(18_000, 20_000, count)).cast(pl.Date),
            "base_quantity": base,
            "used_quantity": base * (1.1 + 0.08 * chance.standard_normal(count)) + 1.0,
        }
    )


def _cpu_seconds(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def _compare(count: int) -> float:
    lines = _invent(count).sort("material", "completed_on", "job_ref")
    with duckdb.connect() as connection:
        connection.execute("SET threads = 1")
        connection.execute("CREATE TABLE line AS SELECT * FROM lines")
        medians = "SELECT median(used_quantity / base_quantity) FROM line WHERE material = ?"
        bare = _cpu_seconds(
            lambda: [connection.execute(medians, [str(at)]).fetchall() for at in range(MATERIALS)]
        )
    ours = _cpu_seconds(lambda: fit_all(lines, 0.85, as_of=date(2024, 12, 31)))
    peak_gb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    sys.stdout.write(
        f"\ncalibration of {count:,} lines {ours:.2f} s, twelve exact medians {bare:.2f} s: "
        f"{ours / bare:.1f}; at most {peak_gb:.1f} GB\n"
    )
    return ours / bare


@pytest.mark.bench
@pytest.mark.parametrize("count", [1_000, 100_000])
def test_calibration_beside_twelve_exact_medians(count):
    assert _compare(count) <= SANE_RATIO
