"""A stock ledger with counts in it, written out as the tables that lots are made from."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from typing import Literal

import duckdb

FIRST_DAY = date(2025, 1, 6)
PRICE_GBP = "3.137"

Kind = Literal["bought", "taken", "counted"]

TABLES = f"""
CREATE SCHEMA ledger; CREATE SCHEMA feed; CREATE SCHEMA stock; CREATE SCHEMA usage;
CREATE SCHEMA result;
CREATE TABLE usage.calendar AS SELECT DATE '2025-04-30' AS as_of;
CREATE TABLE result.average_issue (material VARCHAR, out_no BIGINT, cost_pence BIGINT);
CREATE TABLE ledger.materials (material VARCHAR, costing VARCHAR);
INSERT INTO ledger.materials VALUES ('resin', NULL);
CREATE TABLE feed.issue_habit (material VARCHAR, is_whole_packs BOOLEAN);
CREATE TABLE feed.first_count (material VARCHAR, counted_on DATE, quantity DECIMAL(18, 3));
CREATE TABLE feed.count_day (
    material VARCHAR, counted_on DATE, lots_quantity DECIMAL(18, 3),
    lots_sealed_quantity DECIMAL(18, 3), missing_places VARCHAR
);
CREATE TABLE feed.landed_line (
    material VARCHAR, received_on DATE, supplier VARCHAR, document_no VARCHAR, year BIGINT,
    line_rank BIGINT, lot VARCHAR, expires_on DATE, quantity DECIMAL(18, 3), cost_pence BIGINT,
    delivery_pence BIGINT
);
CREATE TABLE feed.lot_credit (
    material VARCHAR, supplier VARCHAR, credited_on DATE, document_no VARCHAR, year BIGINT,
    line_rank BIGINT, credit_pence BIGINT, back_quantity DECIMAL(18, 3)
);
CREATE TABLE feed.booked_out (
    material VARCHAR, flow VARCHAR, job_ref VARCHAR, out_key VARCHAR, out_on DATE,
    quantity DECIMAL(18, 3), moves_stock BOOLEAN
);
CREATE TABLE stock.price_step (
    material VARCHAR, from_on DATE, until_on DATE, price_gbp DECIMAL(20, 12)
);
INSERT INTO stock.price_step VALUES ('resin', DATE '1900-01-01', DATE '9999-12-31', {PRICE_GBP});
"""  # noqa: S608 - own numbers


@dataclass(frozen=True)
class Entry:
    """What was bought with its pence, taken by a job, or stood there when it was counted."""

    day: int
    kind: Kind
    quantity: Decimal
    pence: int = 0

    @property
    def on(self) -> date:
        """Return the entry's day; the first count stands before all of them."""
        return FIRST_DAY + timedelta(days=self.day)


def open_counted(opening: Decimal, entries: Sequence[Entry]) -> duckdb.DuckDBPyConnection:
    """Open a database with the tables below the lots; the last count of a day stands."""
    connection = duckdb.connect()
    connection.execute(TABLES)
    connection.execute(
        "INSERT INTO feed.first_count VALUES ('resin', $1, $2)", [FIRST_DAY, opening]
    )
    counts = {FIRST_DAY: opening}
    for no, entry in enumerate(entries, 1):
        if entry.kind == "counted":
            counts[entry.on] = entry.quantity
        elif entry.kind == "bought":
            _buy(connection, no, entry)
        else:
            connection.execute(
                "INSERT INTO feed.booked_out VALUES ('resin', 'job', $1, '1', $2, $3, TRUE)",
                [f"2025-{no:03}", entry.on, entry.quantity],
            )
    for on, quantity in counts.items():
        connection.execute(
            "INSERT INTO feed.count_day VALUES ('resin', $1, $2, $2, NULL)", [on, quantity]
        )
    return connection


def _buy(connection: duckdb.DuckDBPyConnection, no: int, entry: Entry) -> None:
    connection.execute(
        "INSERT INTO feed.landed_line VALUES "
        "('resin', $1, 'Quayside', $2, 2025, 1, NULL, NULL, $3, $4, $4 // 10)",
        [entry.on, f"{no:03}", entry.quantity, entry.pence],
    )
