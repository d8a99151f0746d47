"""
First in first out and moving average against ledgers that others published.

Each ledger names its source; the movements were read there, and the answers that the source does
not print were worked out by hand in decimals. Where a source rounds a unit price on the way, the
answer here is that without the rounding. One ledger is from memory, and says so.
"""

from dataclasses import dataclass
from decimal import Decimal

import polars as pl
import pytest

from pipelines.costing.moving_average import Lot, Movement, average_issues
from pipelines.warehouse.relations import views
from tests.support.stock_ledgers import Line, open_ledger

In = tuple[int, str]


@dataclass(frozen=True)
class Published:
    """Movements in their order, and what they come to; money in pence."""

    source: str
    movements: tuple[In | int, ...]
    receipts: int
    fifo: tuple[int, ...]
    fifo_closing: int
    average: tuple[int, ...]
    average_closing: int

    @property
    def lines(self) -> list[Line]:
        """Return the ledger, a day a line."""
        return [
            Line(day, Decimal(moved))
            if isinstance(moved, int)
            else Line(day, Decimal(moved[0]), int(moved[0] * Decimal(moved[1]) * 100))
            for day, moved in enumerate(self.movements)
        ]


LEDGERS = {
    "150 and 200 before the first issue": Published(
        source="accountancy body's exam notes, p. 78",
        movements=((150, "1.00"), (200, "1.20"), 250, (250, "1.30"), 200),
        receipts=71_500,
        fifo=(27_000, 25_000),
        fifo_closing=19_500,
        average=(27_857, 24_939),
        average_closing=18_704,
    ),
    "three receipts of thousands": Published(
        source="revision question with answer; it prints 53,602 by way of a price to 3 decimals",
        movements=((9200, "9.71"), (6300, "10.23"), 7400, (8200, "10.69"), 11_100),
        receipts=24_143_900,
        fifo=(7_185_400, 11_399_700),
        fifo_closing=5_558_800,
        average=(7_341_803, 11_441_919),
        average_closing=5_360_178,
    ),
    "600 between the second and the third": Published(
        source="accounting textbook's question",
        movements=((300, "5"), (500, "9"), 600, (910, "10")),
        receipts=1_510_000,
        fifo=(420_000,),
        fifo_closing=1_090_000,
        average=(450_000,),
        average_closing=1_060_000,
    ),
    "600 between, other prices": Published(
        source="the same question with other numbers",
        movements=((300, "7"), (450, "8"), 600, (750, "9")),
        receipts=1_245_000,
        fifo=(450_000,),
        fifo_closing=795_000,
        average=(456_000,),
        average_closing=789_000,
    ),
    "a periodic count": Published(
        source="accounting textbook's question on a periodic count",
        movements=(
            (1800, "1.60"),
            (600, "1.68"),
            (900, "1.72"),
            (1500, "1.80"),
            (1200, "1.84"),
            (1800, "1.88"),
            5400,
        ),
        receipts=1_372_800,
        fifo=(924_000,),
        fifo_closing=448_800,
        average=(950_400,),
        average_closing=422_400,
    ),
    "five books, one sold": Published(
        source="accounting education page on the flow of costs",
        movements=((1, "85"), (1, "87"), (2, "89"), (1, "90"), 1),
        receipts=44_000,
        fifo=(8_500,),
        fifo_closing=35_500,
        average=(8_800,),
        average_closing=35_200,
    ),
    "a perpetual ledger": Published(
        source="OpenStax Principles of Accounting vol. 1 ch. 10, movements from memory",
        movements=((150, "21"), 120, (225, "27"), 180, (210, "33")),
        receipts=1_615_500,
        fifo=(252_000, 468_000),
        fifo_closing=895_500,
        average=(252_000, 473_294),
        average_closing=890_206,
    ),
}


@pytest.mark.parametrize("ledger", LEDGERS.values(), ids=LEDGERS)
def test_first_in_first_out_is_as_published(ledger: Published) -> None:
    with open_ledger(ledger.lines) as connection:
        rows = connection.sql(views()["result.fifo_issue"].select).pl()

    issues = rows.group_by("out_no").agg(pl.col("cost_pence").sum()).sort("out_no")

    assert tuple(issues["cost_pence"]) == ledger.fifo
    assert ledger.receipts - rows["cost_pence"].sum() == ledger.fifo_closing
    assert not rows["is_early"].any()


@pytest.mark.parametrize("ledger", LEDGERS.values(), ids=LEDGERS)
def test_the_moving_average_is_as_published(ledger: Published) -> None:
    lines = list(enumerate(ledger.lines, 1))
    issues, _, left_pence = average_issues(
        [Lot(line.on, line.quantity, line.pence) for _, line in lines if line.pence is not None],
        [Movement(no, line.on, line.quantity) for no, line in lines if line.pence is None],
    )

    assert tuple(issue.cost_pence for issue in issues) == ledger.average
    assert left_pence == ledger.average_closing
    assert sum(line.pence or 0 for _, line in lines) == ledger.receipts
