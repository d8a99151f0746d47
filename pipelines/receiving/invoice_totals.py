"""
Whether an invoice's lines, allowances, charges, VAT and totals prove each other.

The rules are those of EN 16931-1: BR-CO-10 to BR-CO-17, and BR-S-08 with its like for the other
VAT categories. Sums are exact; nothing is forgiven but VAT
that was rounded line by line.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal

from pipelines.quantities import PER_CENT_IN_WHOLE, round_money
from pipelines.receiving.invoice_terms import TERMS

_NIL = Decimal(0)
_HALF_PENNY = Decimal("0.005")
_RULE_LETTERS = {"K": "IC", "L": "AF", "M": "AG"}
"""VAT categories whose rules are not named by their own letter."""


@dataclass(frozen=True)
class Taxed:
    """An amount that is taxed at one rate: a line's net, an allowance or a charge as written."""

    amount: Decimal
    category: str
    rate_pct: Decimal


@dataclass(frozen=True)
class VatGroup:
    """What the document says of one VAT category and rate."""

    category: str
    rate_pct: Decimal
    taxable: Decimal
    vat: Decimal


@dataclass(frozen=True)
class Totals:
    """The document's totals as stated; None where it states none."""

    line_nets: Decimal
    without_vat: Decimal
    with_vat: Decimal
    due: Decimal
    allowances: Decimal | None = None
    charges: Decimal | None = None
    vat: Decimal | None = None
    paid_before: Decimal | None = None
    rounding: Decimal | None = None


def find_broken_rules(
    lines: Sequence[Taxed],
    allowances: Sequence[Taxed],
    charges: Sequence[Taxed],
    groups: Sequence[VatGroup],
    stated: Totals,
) -> Iterator[str]:
    """Yield, for each rule that the document breaks, both figures and the rule, in words."""
    yield from _sums(lines, allowances, charges, groups, stated)
    yield from _totals(stated)
    yield from _by_rate(lines, allowances, charges, groups)


def _sums(
    lines: Sequence[Taxed],
    allowances: Sequence[Taxed],
    charges: Sequence[Taxed],
    groups: Sequence[VatGroup],
    stated: Totals,
) -> Iterator[str]:
    yield from _compare("BT-106", stated.line_nets, _sum(lines), "the lines", "BR-CO-10")
    yield from _compare("BT-107", stated.allowances, _sum(allowances), "they", "BR-CO-11")
    yield from _compare("BT-108", stated.charges, _sum(charges), "they", "BR-CO-12")
    vat = sum((group.vat for group in groups), _NIL)
    yield from _compare("BT-110", stated.vat, vat, "the VAT of the rates", "BR-CO-14")


def _totals(stated: Totals) -> Iterator[str]:
    net = stated.line_nets - (stated.allowances or _NIL) + (stated.charges or _NIL)
    said = "line nets less allowances plus charges"
    yield from _compare("BT-109", stated.without_vat, net, said, "BR-CO-13")
    gross = stated.without_vat + (stated.vat or _NIL)
    said = "total without VAT plus VAT"
    yield from _compare("BT-112", stated.with_vat, gross, said, "BR-CO-15")
    due = stated.with_vat - (stated.paid_before or _NIL) + (stated.rounding or _NIL)
    said = "total with VAT less paid plus rounding"
    yield from _compare("BT-115", stated.due, due, said, "BR-CO-16")


def _by_rate(
    lines: Sequence[Taxed],
    allowances: Sequence[Taxed],
    charges: Sequence[Taxed],
    groups: Sequence[VatGroup],
) -> Iterator[str]:
    taxed: dict[tuple[str, Decimal], list[Decimal]] = {}
    for sign, amounts in ((1, lines), (-1, allowances), (1, charges)):
        for one in amounts:
            taxed.setdefault((one.category, one.rate_pct), []).append(sign * one.amount)
    stated = _merge(groups)
    for category, rate_pct in sorted(taxed.keys() - stated.keys()):
        at = _at(category, rate_pct)
        yield f"the breakdown of VAT lacks {at}, which is charged (rule {_rule(category)})"
    for at_rate, group in stated.items():
        yield from _check_group(group, taxed.get(at_rate, []))


def _merge(groups: Sequence[VatGroup]) -> dict[tuple[str, Decimal], VatGroup]:
    """Return the groups by category and rate; exempt ones may stand once for each reason."""
    merged: dict[tuple[str, Decimal], VatGroup] = {}
    for group in groups:
        at = (group.category, group.rate_pct)
        taxable, vat = (merged[at].taxable, merged[at].vat) if at in merged else (_NIL, _NIL)
        merged[at] = VatGroup(*at, taxable + group.taxable, vat + group.vat)
    return merged


def _check_group(group: VatGroup, amounts: Sequence[Decimal]) -> Iterator[str]:
    """Yield what is broken; VAT rounded line by line, at most half a penny a line off, passes."""
    at, rule = _at(group.category, group.rate_pct), _rule(group.category)
    taxable = sum(amounts, _NIL)
    yield from _compare("BT-116", group.taxable, taxable, f"what is taxed at {at}", rule)
    vat = round_money(group.taxable * group.rate_pct / PER_CENT_IN_WHOLE)
    if abs(group.vat - vat) > _HALF_PENNY * len(amounts):
        yield from _compare("BT-117", group.vat, vat, f"VAT at {at}", "BR-CO-17")


def _compare(
    term: str, stated: Decimal | None, found: Decimal, what: str, rule: str
) -> Iterator[str]:
    if (stated or _NIL) != found:
        says = "is not stated" if stated is None else f"says {stated:,.2f}"
        comes = "come" if what in {"the lines", "they"} else "comes"
        yield (
            f"the {TERMS[term].says} ({term}) {says}, {what} {comes} to {found:,.2f} (rule {rule})"
        )


def _sum(amounts: Sequence[Taxed]) -> Decimal:
    return sum((one.amount for one in amounts), _NIL)


def _rule(category: str) -> str:
    return f"BR-{_RULE_LETTERS.get(category, category)}-08"


def _at(category: str, rate_pct: Decimal) -> str:
    return f"VAT category {category}, {rate_pct.normalize():f} %"
