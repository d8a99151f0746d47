"""A stock ledger of one or more materials, written out as the tables that a FIFO select reads."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

import duckdb

FIRST_DAY = date(2025, 1, 6)


@dataclass(frozen=True)
class Line:
    """One line of a ledger: what came in with its pence, or what went out with none."""

    day: int
    quantity: Decimal
    pence: int | None = None
    material: str = "resin"

    @property
    def on(self) -> date:
        """Return the line's day."""
        return FIRST_DAY + timedelta(days=self.day)


def open_ledger(lines: Sequence[Line], costing: str = "fifo") -> duckdb.DuckDBPyConnection:
    """Open a database with result.lot, feed.stock_out and ledger.materials of these lines."""
    connection = duckdb.connect()
    connection.execute("CREATE SCHEMA result; CREATE SCHEMA feed; CREATE SCHEMA ledger")
    connection.execute(
        "CREATE TABLE result.lot (material VARCHAR, lot_no BIGINT, received_on DATE, "
        "quantity DECIMAL(18, 3), cost_pence BIGINT, delivery_pence BIGINT)"
    )
    connection.execute(
        "CREATE TABLE feed.stock_out (material VARCHAR, out_no BIGINT, out_on DATE, "
        "quantity DECIMAL(18, 3), moves_stock BOOLEAN)"
    )
    connection.execute("CREATE TABLE ledger.materials (material VARCHAR, costing VARCHAR)")
    for material in sorted({line.material for line in lines}):
        connection.execute("INSERT INTO ledger.materials VALUES ($1, $2)", [material, costing])
    for no, line in enumerate(lines, 1):
        if line.pence is None:
            connection.execute(
                "INSERT INTO feed.stock_out VALUES ($1, $2, $3, $4, TRUE)",
                [line.material, no, line.on, line.quantity],
            )
        else:
            connection.execute(
                "INSERT INTO result.lot VALUES ($1, $2, $3, $4, $5, 0)",
                [line.material, no, line.on, line.quantity, line.pence],
            )
    return connection
