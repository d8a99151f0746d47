"""The parts of the margin of a million lines, in CPU time beside eight by windows; printed."""

import resource
import sys
import time

import duckdb
import pytest

from pipelines.warehouse.relations import views
from tests.benchmarks.test_fifo import EIGHT_PARTS
from tests.property.test_margin_parts import draw_lines
from tests.support.margin_lines import open_lines

LINES = 1_000_000
SANE_RATIO = 4
ALLOWED_MB = 1800
"""What the database may hold, so that the process with all else stays below 2 GB."""


def _cpu_seconds(connection: duckdb.DuckDBPyConnection, query: str) -> float:
    start = time.process_time()
    connection.execute(f"CREATE OR REPLACE TABLE taken AS {query}")
    return time.process_time() - start


def _peak_gb() -> float:
    """Return the most memory that the process ever held; Linux says it in KiB."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024**2


@pytest.mark.bench
def test_the_parts_of_a_million_lines():
    with open_lines(draw_lines(LINES)) as connection:
        connection.execute(f"SET memory_limit = '{ALLOWED_MB}MB'")
        connection.execute("SET preserve_insertion_order = false")
        parts = _cpu_seconds(connection, views()["comparison.margin_part"].select)
        peak_gb = _peak_gb()
        rows = connection.execute("SELECT count(*) FROM taken").fetchone()
        eight_parts = _cpu_seconds(connection, EIGHT_PARTS)

    sys.stdout.write(
        f"\nparts of {LINES:,} lines, {parts:.2f} CPU s, {ALLOWED_MB} MB allowed, peak of the "
        f"whole process with its tables {peak_gb:.2f} GB: "
        f"{parts / eight_parts:.2f} times eight parts by windows\n"
    )
    assert rows == (9 * LINES,)
    assert parts / eight_parts < SANE_RATIO
