"""What a difference between counts looks like, where its shape can tell."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal

from pipelines.stock.differences import STANDARD_ERRORS, Difference, cancels, lasts


@dataclass(frozen=True)
class OpenOrder:
    """A line of an order to which no invoice answers; base units."""

    material: str
    order_no: str
    supplier: str
    due_on: date
    quantity: Decimal


@dataclass(frozen=True)
class DoubtfulCard:
    """A finished job's line that is held back from learning, and why."""

    material: str
    job_ref: str
    completed_on: date
    reason: str


@dataclass(frozen=True)
class Neighbours:
    """The intervals of a material before and after one of them, where there are any."""

    before: Difference | None
    after: Difference | None


@dataclass(frozen=True)
class Evidence:
    """What else the papers say: orders without an invoice, cards that are in doubt."""

    open_orders: Sequence[OpenOrder] = ()
    doubtful_cards: Sequence[DoubtfulCard] = ()


@dataclass(frozen=True)
class Signature:
    """A name for a difference: its kind and what points to it, in words."""

    kind: str
    because: str


def name_signature(found: Difference, beside: Neighbours, evidence: Evidence) -> Signature:
    """
    Name what a difference beyond counting error looks like.

    Returns:
        The first that fits of: doubtful card, miscount, missing delivery note, lasting loss; else
        cannot say. A likeness, not a proof: `because` says what it rests on.

    """
    return (
        _doubtful_card(found, evidence)
        or _miscount(found, beside)
        or _missing_note(found, evidence)
        or _lasting_loss(found, beside, evidence)
        or _cannot_say(found, beside, evidence)
    )


def _doubtful_card(found: Difference, evidence: Evidence) -> Signature | None:
    cards = _cards_between(found, evidence)
    if not cards:
        return None
    said = "; ".join(f"{card.job_ref}: {card.reason}" for card in cards)
    return Signature("doubtful card", f"Look first at the card of {said}.")


def _cards_between(found: Difference, evidence: Evidence) -> list[DoubtfulCard]:
    return [
        card
        for card in evidence.doubtful_cards
        if card.material == found.material and found.from_on < card.completed_on <= found.to_on
    ]


def _miscount(found: Difference, beside: Neighbours) -> Signature | None:
    pairs = ((found, beside.after, found.to_on), (beside.before, found, found.from_on))
    for first, second, day in pairs:
        if first is None or second is None:
            continue
        if first.is_beyond_error and second.is_beyond_error and cancels(first, second):
            return Signature(
                "miscount",
                f"The next count brings it back: the count of {show_day(day)} was probably out, "
                "or goods were booked on the wrong side of it.",
            )
    return None


def _missing_note(found: Difference, evidence: Evidence) -> Signature | None:
    due = [
        order
        for order in evidence.open_orders
        if order.material == found.material and order.due_on <= found.to_on
    ]
    together = [order for order in due if order.due_on > found.from_on]
    fitting = [orders for orders in (*([order] for order in due), together) if _fits(orders, found)]
    if not fitting:
        return None
    orders = min(fitting, key=lambda each: _gap(each, found))
    said = " and ".join(f"{order.order_no} from {order.supplier}" for order in orders)
    return Signature(
        "missing delivery note",
        f"It is what was ordered as {said}, and no invoice or delivery note of it is held.",
    )


def _fits(orders: Sequence[OpenOrder], found: Difference) -> bool:
    return bool(orders) and _gap(orders, found) <= STANDARD_ERRORS * found.error


def _gap(orders: Sequence[OpenOrder], found: Difference) -> float:
    return abs(float(sum(order.quantity for order in orders) + found.quantity))


def _lasting_loss(found: Difference, beside: Neighbours, evidence: Evidence) -> Signature | None:
    after = beside.after
    if found.quantity <= 0 or after is None or not after.is_tested:
        return None
    if _cards_between(after, evidence) or not lasts(found, after):
        return None
    if beside.before is not None and beside.before.is_tested and cancels(beside.before, found):
        return None
    return Signature(
        "lasting loss",
        "The next count does not bring it back, and no job and no loss is written for it.",
    )


def _cannot_say(found: Difference, beside: Neighbours, evidence: Evidence) -> Signature:
    where = "where it went" if found.quantity > 0 else "where it came from"
    if beside.after is None:
        why = ": the next count may tell"
    elif beside.before is not None and beside.before.is_tested and cancels(beside.before, found):
        why = f": the count of {show_day(found.from_on)} may have been out the other way"
    elif _cards_between(beside.after, evidence):
        why = ": a card in doubt keeps the next count from telling"
    else:
        why = ""
    return Signature("cannot say", f"We cannot say {where}{why}.")


def show_day(day: date) -> str:
    """Return a day as people write it: 31 May 2026."""
    return f"{day.day} {day:%B %Y}"
