"""First in first out over a million movements, in CPU time beside two plain queries; printed."""

import resource
import sys
import time

import duckdb
import pytest

from pipelines.warehouse.relations import views

MOVEMENTS = 1_000_000
LOTS = 60_000
MATERIALS = 40

LEDGER = f"""
CREATE SCHEMA result; CREATE SCHEMA feed; CREATE SCHEMA ledger;
CREATE TABLE ledger.materials AS
    SELECT 'material ' || item AS material, NULL::VARCHAR AS costing
    FROM range({MATERIALS}) AS items(item);
CREATE TABLE result.lot AS
    SELECT 'material ' || no % {MATERIALS} AS material, no AS lot_no,
        DATE '2020-01-01' + (no // 40)::INTEGER AS received_on,
        (200 + no * 7919 % 400)::DECIMAL(18, 3) AS quantity,
        (60000 + no * 104729 % 90000)::BIGINT AS cost_pence,
        (no * 7919 % 3000)::BIGINT AS delivery_pence
    FROM range({LOTS}) AS lots(no);
CREATE TABLE feed.stock_out AS
    SELECT 'material ' || no % {MATERIALS} AS material, no AS out_no,
        DATE '2020-01-01' + (no // 700)::INTEGER AS out_on,
        ((5000 + no * 7907 % 30000) / 1000)::DECIMAL(18, 3) AS quantity, TRUE AS moves_stock
    FROM range({MOVEMENTS}) AS movements(no);
"""  # noqa: S608 - own numbers
GROUPED = "SELECT material, count(*), sum(quantity) FROM feed.stock_out GROUP BY material"
EIGHT_PARTS = f"""
WITH part AS (
    SELECT no AS leaf, part, (no * 7919 % 100000 + part * 31)::HUGEINT * 1000 AS numerator
    FROM range({MOVEMENTS}) AS leaves(no), range(8) AS parts(part)
), shared AS (
    SELECT leaf, part, numerator // 7001 AS whole, numerator % 7001 AS rest,
        (2 * sum(numerator) OVER (PARTITION BY leaf) + 7001) // 14002 AS total
    FROM part
)
SELECT sum(whole + (turn <= total - wholes)::INTEGER) FROM (
    SELECT whole, total, sum(whole) OVER (PARTITION BY leaf) AS wholes,
        row_number() OVER (PARTITION BY leaf ORDER BY rest DESC, part) AS turn
    FROM shared
)
"""  # noqa: S608 - own numbers


def _cpu_seconds(connection: duckdb.DuckDBPyConnection, query: str) -> float:
    start = time.process_time()
    connection.execute(f"CREATE OR REPLACE TABLE taken AS {query}")
    return time.process_time() - start


@pytest.mark.bench
def test_a_million_movements_through_sixty_thousand_lots():
    with duckdb.connect() as connection:
        connection.execute("SET memory_limit = '2GB'; SET max_temp_directory_size = '0GB'")
        connection.execute(LEDGER)
        fifo = _cpu_seconds(connection, views()["result.fifo_issue"].select)
        peak_gb = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024**2
        rows = connection.execute("SELECT count(*), sum(quantity) FROM taken").fetchone()
        grouped = _cpu_seconds(connection, GROUPED)
        eight_parts = _cpu_seconds(connection, EIGHT_PARTS)

    sys.stdout.write(
        f"\nfirst in first out, {MOVEMENTS:,} movements, {LOTS:,} lots, {fifo:.2f} CPU s, "
        f"2 GB allowed, peak of the whole process {peak_gb:.2f} GB: "
        f"{fifo / grouped:.0f} times a GROUP BY, "
        f"{fifo / eight_parts:.2f} times eight parts by windows\n"
    )
    assert rows is not None
    assert rows[0] > MOVEMENTS
    assert fifo / eight_parts < 4
