"""The parts of the margin of a million lines, in CPU time beside eight by windows; printed."""

import sys
import time

import duckdb
import pytest

from pipelines.warehouse.relations import views
from tests.benchmarks.test_fifo import EIGHT_PARTS
from tests.property.test_margin_parts import draw_lines
from tests.support.margin_lines import open_lines

LINES = 1_000_000
SANE_RATIO = 8


def _cpu_seconds(connection: duckdb.DuckDBPyConnection, query: str) -> float:
    start = time.process_time()
    connection.execute(f"CREATE OR REPLACE TABLE taken AS {query}")
    return time.process_time() - start


@pytest.mark.bench
def test_the_parts_of_a_million_lines():
    with open_lines(draw_lines(LINES)) as connection:
        connection.execute("SET memory_limit = '2GB'; SET preserve_insertion_order = false")
        parts = _cpu_seconds(connection, views()["comparison.margin_part"].select)
        rows = connection.execute("SELECT count(*) FROM taken").fetchone()
        eight_parts = _cpu_seconds(connection, EIGHT_PARTS)

    sys.stdout.write(
        f"\nparts of {LINES:,} lines, {parts:.2f} CPU s, 2 GB: "
        f"{parts / eight_parts:.2f} times eight parts by windows\n"
    )
    assert rows == (9 * LINES,)
    assert parts / eight_parts < SANE_RATIO
