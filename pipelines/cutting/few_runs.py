"""Jobs of so few runs that every way to part them is looked at."""

from collections.abc import Sequence

from pipelines.cutting.groups import Groups
from pipelines.cutting.laying_out import LaidOut, lay_out
from pipelines.cutting.plans import LengthRules
from pipelines.cutting.remainders import Remainder

MOST_REVISIONS = 40
"""Partings tried after the first, where a least piece keeps groups from their cost."""


def plan_few(remainders: Sequence[Remainder], rules: LengthRules) -> tuple[int, list[LaidOut]]:
    """
    Part the runs of a job at the least cost and lay the groups out.

    With no least piece the cheapest parting can always be laid out. With one, a group that can't
    be at its cost is given the cost at which it can, or is ruled out, and the runs are parted
    anew; the first parting, which knows of no least piece, stays the bound.

    Returns:
        The bound and the groups, whole lengths not in the costs. mm.

    """
    groups = Groups([each.rest_mm for each in remainders], rules)
    bound_mm, parted = groups.part()
    best: list[LaidOut] | None = None
    expected_mm = bound_mm
    for _ in range(MOST_REVISIONS):
        found = [lay_out([remainders[i] for i in group], rules) for group in parted]
        laid = [each for each in found if each is not None]
        if len(laid) == len(parted) and (best is None or _cost(laid) < _cost(best)):
            best = laid
        if best is not None and _cost(best) <= expected_mm:
            break
        for group, each in zip(parted, found, strict=True):
            groups.revise(group, None if each is None else each.cost_mm)
        expected_mm, parted = groups.part()
    return bound_mm, best if best is not None else _alone(remainders, rules)


def _cost(laid: Sequence[LaidOut]) -> int:
    return sum(each.cost_mm for each in laid)


def _alone(remainders: Sequence[Remainder], rules: LengthRules) -> list[LaidOut]:
    alone = [lay_out([remainder], rules) for remainder in remainders]
    return [each for each in alone if each is not None]
