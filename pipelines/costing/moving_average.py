"""Stock on a moving average: each movement out costs what the pool costs at that moment."""

from collections import deque
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

import polars as pl

from pipelines.quantities import round_whole
from schemas.frames import shape_of


@dataclass(frozen=True)
class Lot:
    """What came in: `cost_pence` None where no price is known."""

    received_on: date
    quantity: Decimal
    cost_pence: int | None


@dataclass(frozen=True)
class Movement:
    """What went out."""

    out_no: int
    out_on: date
    quantity: Decimal


@dataclass(frozen=True)
class Issue:
    """A movement, or a part of it, with its cost; `is_early`: from goods that came in later."""

    out_no: int
    quantity: Decimal
    cost_pence: int | None
    is_early: bool


@dataclass
class _Pool:
    """The stock of one material as it runs: what it holds, what that cost, who still waits."""

    quantity: Decimal = Decimal(0)
    pence: int | None = 0
    waiting: deque[tuple[int, Decimal]] = field(default_factory=deque)
    issues: list[Issue] = field(default_factory=list)

    def take_in(self, lot: Lot) -> None:
        """Serve whoever took before it came, at the lot's own price; the rest joins the pool."""
        rest, pence = lot.quantity, lot.cost_pence
        while self.waiting and rest > 0:
            out_no, wanted = self.waiting.popleft()
            served = min(wanted, rest)
            part = _share(pence, served, rest)
            self.issues.append(Issue(out_no, served, part, is_early=True))
            rest, pence = rest - served, _less(pence, part)
            if wanted > served:
                self.waiting.appendleft((out_no, wanted - served))
        if self.quantity == 0:
            self.pence = 0
        self.quantity += rest
        self.pence = None if self.pence is None or pence is None else self.pence + pence

    def give_out(self, movement: Movement) -> None:
        """Take from the pool what it holds; what is lacking waits for the next lot."""
        served = min(movement.quantity, self.quantity)
        if served > 0:
            part = _share(self.pence, served, self.quantity)
            self.issues.append(Issue(movement.out_no, served, part, is_early=False))
            self.quantity, self.pence = self.quantity - served, _less(self.pence, part)
        if movement.quantity > served:
            self.waiting.append((movement.out_no, movement.quantity - served))


def average_issues(
    lots: list[Lot], movements: list[Movement]
) -> tuple[list[Issue], Decimal, int | None]:
    """
    Cost the movements of one material on a moving average.

    An issue is round(pool's pence x quantity / pool's quantity), half away from zero; the last
    one clears the pool, so that lots = issues + what is left, to the penny. Lots come before
    movements on one day, and both in the order given. A movement beyond what there is takes from
    the next lot at that lot's price, and is marked; what no lot ever covers is left out.

    Returns:
        The issues in the order in which they were settled, what is left, and its pence (None
        where a lot without a known price is in it).

    """
    pool = _Pool()
    coming = deque(sorted(lots, key=lambda lot: lot.received_on))
    for movement in sorted(movements, key=lambda movement: (movement.out_on, movement.out_no)):
        while coming and coming[0].received_on <= movement.out_on:
            pool.take_in(coming.popleft())
        pool.give_out(movement)
    for lot in coming:
        pool.take_in(lot)
    return pool.issues, pool.quantity, pool.pence if pool.quantity else 0


def cost_on_average(
    lots: pl.DataFrame, movements: pl.DataFrame, materials: pl.DataFrame
) -> dict[str, pl.DataFrame]:
    """
    Cost every material whose `costing` is average.

    Args:
        lots: material, lot_no, how, received_on, quantity in base units, cost_pence. What a count
            found joins the pool at the end of its day: it moves the price of the days after it.
        movements: material, out_no, out_on, quantity in base units, moves_stock.
        materials: material, costing.

    Returns:
        `result.average_issue` and `result.average_left`, shaped as the tables of those names.

    """
    issued: list[dict[str, Any]] = []
    left: list[dict[str, Any]] = []
    for material in sorted(materials.filter(pl.col("costing") == "average")["material"]):
        own_lots, own_movements = _of_material(lots, movements, material)
        issues, quantity, pence = average_issues(own_lots, own_movements)
        issued.extend(_add_up(material, issues))
        left.append({"material": material, "left_quantity": quantity, "left_pence": pence})
    return {
        "result.average_issue": pl.DataFrame(issued, schema=shape_of("result.average_issue")),
        "result.average_left": pl.DataFrame(left, schema=shape_of("result.average_left")),
    }


def _of_material(
    lots: pl.DataFrame, movements: pl.DataFrame, material: str
) -> tuple[list[Lot], list[Movement]]:
    is_found = (pl.col("how") == "found").cast(pl.Int64)
    own_lots = (
        lots.filter(pl.col("material") == material)
        .with_columns(pl.col("received_on") + pl.duration(days=is_found))
        .sort("lot_no")
    )
    own_movements = movements.filter(pl.col("moves_stock"), pl.col("material") == material)
    return (
        [Lot(*row) for row in own_lots.select("received_on", "quantity", "cost_pence").rows()],
        [Movement(*row) for row in own_movements.select("out_no", "out_on", "quantity").rows()],
    )


def _add_up(material: str, issues: list[Issue]) -> list[dict[str, Any]]:
    """Give one row per movement and whether it was early."""
    rows: dict[tuple[int, bool], dict[str, Any]] = {}
    for issue in issues:
        row = rows.setdefault(
            (issue.out_no, issue.is_early),
            {
                "material": material,
                "out_no": issue.out_no,
                "quantity": Decimal(0),
                "cost_pence": 0,
                "is_early": issue.is_early,
            },
        )
        row["quantity"] += issue.quantity
        known = row["cost_pence"] is not None and issue.cost_pence is not None
        row["cost_pence"] = row["cost_pence"] + issue.cost_pence if known else None
    return list(rows.values())


def _share(pence: int | None, part: Decimal, whole: Decimal) -> int | None:
    return None if pence is None else round_whole(pence * Fraction(part) / Fraction(whole))


def _less(pence: int | None, part: int | None) -> int | None:
    return None if pence is None or part is None else pence - part
