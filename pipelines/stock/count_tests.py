"""Counts held against the papers: is a difference more than counting error, and what is it like."""

from collections.abc import Iterable, Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

import polars as pl

from pipelines.stock.differences import STANDARD_ERRORS, Difference, read_difference
from pipelines.stock.signatures import (
    DoubtfulCard,
    Evidence,
    Neighbours,
    OpenOrder,
    Signature,
    name_signature,
    show_day,
)
from schemas.frames import shape_of

PRINTED_UNITS = {"m2": "m²", "each": "pieces"}


def judge_counts(
    intervals: pl.DataFrame,
    open_orders: pl.DataFrame,
    doubtful_cards: pl.DataFrame,
    floor_gbp: Decimal,
) -> pl.DataFrame:
    """
    Hold the difference of every count interval against counting error and a floor in money.

    Args:
        intervals: `stock.count_interval`.
        open_orders: `feed.order_without_invoice`.
        doubtful_cards: material, job_ref, completed_on, reason of lines held back from learning.
        floor_gbp: a difference worth less is not asked about.

    Returns:
        `result.count_test`: one row an interval. A difference is beyond where it is more than two
        standard errors, with variance = opening count + issues + closing count, and worth more
        than the floor, or of unknown worth.

    """
    evidence = Evidence(_read_orders(open_orders), _read_cards(doubtful_cards))
    rows: list[dict[str, Any]] = []
    for lines in intervals.sort("material", "to_on").partition_by("material", maintain_order=True):
        found = [read_difference(row) for row in lines.iter_rows(named=True)]
        rows += _test_material(found, evidence, floor_gbp)
    return pl.DataFrame(rows, schema=shape_of("result.count_test"))


def _read_orders(open_orders: pl.DataFrame) -> list[OpenOrder]:
    names = ("material", "order_no", "supplier", "due_on", "quantity")
    return [OpenOrder(*row) for row in open_orders.select(names).iter_rows()]


def _read_cards(doubtful_cards: pl.DataFrame) -> list[DoubtfulCard]:
    names = ("material", "job_ref", "completed_on", "reason")
    return [DoubtfulCard(*row) for row in doubtful_cards.select(names).sort(names).iter_rows()]


def _test_material(
    found: Sequence[Difference], evidence: Evidence, floor_gbp: Decimal
) -> Iterable[dict[str, Any]]:
    before: Sequence[Difference | None] = [None, *found[:-1]]
    after: Sequence[Difference | None] = [*found[1:], None]
    for each, earlier, later in zip(found, before, after, strict=True):
        is_beyond = each.is_beyond_error and _is_worth_asking(each, floor_gbp)
        beside = Neighbours(earlier, later)
        signature = name_signature(each, beside, evidence) if is_beyond else None
        yield _row(each, signature)


def _is_worth_asking(found: Difference, floor_gbp: Decimal) -> bool:
    return found.value_gbp is None or abs(found.value_gbp) > floor_gbp


def _row(found: Difference, signature: Signature | None) -> dict[str, Any]:
    return {
        "material": found.material,
        "base_unit": found.base_unit,
        "from_on": found.from_on,
        "to_on": found.to_on,
        "difference_quantity": found.quantity,
        "difference_gbp": found.value_gbp,
        "error_quantity": found.error if found.is_tested else None,
        "is_tested": found.is_tested,
        "is_beyond": signature is not None,
        "signature": signature.kind if signature else None,
        "because": signature.because if signature else None,
        "sentence": _write_sentence(found, signature),
    }


def _write_sentence(found: Difference, signature: Signature | None) -> str:
    if not found.has_issue_records:
        return (
            f"No job says how much {found.material} it took: what went between the counts is "
            "shared out, not measured."
        )
    if found.unrecorded_count:
        return (
            f"{_count_jobs(found.unrecorded_count)} took {found.material} between the counts and "
            "did not say how much: nothing can be said of the rest."
        )
    return f"{_say_difference(found)} {signature.because if signature else _say_why_not(found)}"


def _count_jobs(count: int) -> str:
    return "One job" if count == 1 else f"{count} jobs"


def _say_difference(found: Difference) -> str:
    span = f"from {show_day(found.from_on)} to {show_day(found.to_on)}"
    if not found.quantity:
        return f"{found.material}: counts and papers agree {span}."
    side = "less" if found.quantity > 0 else "more"
    amount = _show(found, abs(found.quantity))
    worth = "" if found.value_gbp is None else f", worth £{_show_pounds(abs(found.value_gbp))},"
    return f"{amount} of {found.material}{worth} {side} than the papers say {span}."


def _say_why_not(found: Difference) -> str:
    if found.is_beyond_error:
        return "More than counting error, and too little money to ask about."
    if not found.quantity:
        return "Nothing to ask about."
    within = _show(found, Decimal(STANDARD_ERRORS * found.error))
    return f"Within counting error: up to {within}."


def _show(found: Difference, quantity: Decimal) -> str:
    shown = quantity.quantize(Decimal("0.1"), ROUND_HALF_UP)
    return f"{shown:,} {PRINTED_UNITS.get(found.base_unit, found.base_unit)}"


def _show_pounds(value: Decimal) -> str:
    return f"{value.quantize(Decimal(1), ROUND_HALF_UP):,}"
