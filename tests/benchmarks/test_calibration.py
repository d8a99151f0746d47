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
LEAST_NAME, LEAST_REF = 10, 10_000_000
"""Names of one length, so that their order is that of the numbers."""

MOST_RATIO, MOST_GB = 6, 2.0
REPEATS = {1_000: 15, 100_000: 5}


def _invent(count: int) -> pl.DataFrame:
    chance = np.random.default_rng(5)
    base = np.exp(chance.normal(3, 0.6, count))
    material = np.arange(count) * MATERIALS // count
    day = 18_000 + chance.integers(0, 2_000, count)
    return pl.DataFrame(
        {
            "material": pl.Series(material + LEAST_NAME).cast(pl.String),
            "kind": pl.repeat("resin", count, eager=True),
            "base_unit": pl.repeat("kg", count, eager=True),
            "job_ref": pl.Series(np.arange(count) + LEAST_REF).cast(pl.String),
            "job_type": pl.Series(chance.integers(0, TYPES, count)).cast(pl.String),
            "completed_on": pl.Series(day[np.lexsort((day, material))]).cast(pl.Date),
            "base_quantity": base,
            "used_quantity": base * (1.1 + 0.08 * chance.standard_normal(count)) + 1.0,
        }
    )


def _least_cpu_seconds(work: Callable[[], object], repeats: int) -> float:
    taken = []
    for _ in range(repeats):
        start = time.process_time()
        work()
        taken.append(time.process_time() - start)
    return min(taken)


def _compare(count: int) -> tuple[float, float]:
    """Print and give the ratio of CPU seconds, and the most memory held, lines and all."""
    repeats = REPEATS.get(count, 1)
    lines = _invent(count)
    ours = _least_cpu_seconds(lambda: fit_all(lines, 0.85, as_of=date(2024, 12, 31)), repeats)
    peak_gb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1e6
    with duckdb.connect() as connection:
        connection.execute("SET threads = 1")
        connection.execute("CREATE TABLE line AS SELECT * FROM lines")
        medians = "SELECT median(used_quantity / base_quantity) FROM line WHERE material = ?"
        names = [[str(LEAST_NAME + at)] for at in range(MATERIALS)]
        bare = _least_cpu_seconds(
            lambda: [connection.execute(medians, name).fetchall() for name in names], repeats
        )
    sys.stdout.write(
        f"\ncalibration of {count:,} lines {ours:.3f} s, twelve exact medians {bare:.3f} s: "
        f"{ours / bare:.1f}; at most {peak_gb:.1f} GB\n"
    )
    return ours / bare, peak_gb


@pytest.mark.bench
@pytest.mark.parametrize("count", [1_000, 100_000, 10_000_000])
def test_calibration_beside_twelve_exact_medians(count):
    ratio, peak_gb = _compare(count)

    assert ratio <= MOST_RATIO
    assert peak_gb <= MOST_GB
