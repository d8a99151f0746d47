"""A plan of many runs made cheaper: two groups taken together, and parted and laid out anew."""

from collections.abc import Sequence
from itertools import combinations

from pipelines.cutting.few_runs import plan_few
from pipelines.cutting.laying_out import LaidOut
from pipelines.cutting.plans import LengthRules

MOST_RUNS_TOGETHER = 10
"""Runs of two groups that are parted anew; there are many such pairs, so they are kept small."""

MOST_PAIRS = 1000


def part_anew(laid: Sequence[LaidOut], rules: LengthRules, bound_mm: int) -> list[LaidOut]:
    """
    Part two groups anew, while that costs less.

    It stops at the bound (mm, whole lengths not in it), at a plan that no two groups better, or
    after `MOST_PAIRS` pairs.
    """
    plan, tried = list(laid), set[tuple[LaidOut, LaidOut]]()
    while sum(each.cost_mm for each in plan) > bound_mm:
        for pair in combinations(plan, 2):
            runs = pair[0].group + pair[1].group
            if pair in tried or len(runs) > MOST_RUNS_TOGETHER or len(tried) >= MOST_PAIRS:
                continue
            tried.add(pair)
            _, anew = plan_few(runs, rules)
            if sum(each.cost_mm for each in anew) < pair[0].cost_mm + pair[1].cost_mm:
                plan = [each for each in plan if each not in pair] + anew
                break
        else:
            break
    return plan
