"""Jobs of too many runs to look at every way to part them: groups made as prices ask for them."""

from collections import Counter
from collections.abc import Iterator, Sequence
from math import ceil, gcd

import numpy as np
import numpy.typing as npt

from pipelines.cutting.few_runs import plan_few
from pipelines.cutting.group_pricing import GroupPricing
from pipelines.cutting.groups import MOST_RUNS
from pipelines.cutting.laying_out import LaidOut, lay_out
from pipelines.cutting.linear_models import LinearModel
from pipelines.cutting.parting_anew import part_anew
from pipelines.cutting.plans import LengthRules
from pipelines.cutting.remainders import Remainder, cost_groups

MOST_ROUNDS = 400
MOST_NODES = 300

_TOLERANCE_MM = 1e-6
_TOLERANCE_RATIO = 1e-9

Counts = tuple[int, ...]
"""How many runs of each distinct remainder are in a group."""


def plan_many(remainders: Sequence[Remainder], rules: LengthRules) -> tuple[int, list[LaidOut]]:
    """
    Part many runs into groups and lay them out; equal runs are merged first.

    Column generation (Gilmore & Gomory 1961): a linear programme over the groups so far prices
    the runs, a knapsack finds groups worth more than they cost, until there are none. What the
    programme comes to is a bound, rounded up; the plan is the best whole choice among the groups.

    Returns:
        The bound and the groups, whole lengths not in the costs. mm.

    """
    wanted = Counter(each.rest_mm for each in remainders)
    rests = sorted(wanted, reverse=True)
    counts = [wanted[rest] for rest in rests]
    bound_mm, groups = _make_groups(rests, counts, rules)
    chosen = _choose(groups, rests, counts, rules)
    laid = [
        each for group in _name_runs(chosen, rests, remainders) for each in _lay_group(group, rules)
    ]
    return bound_mm, part_anew(laid, rules, bound_mm)


def _make_groups(
    rests_mm: Sequence[int], counts: Sequence[int], rules: LengthRules
) -> tuple[int, list[Counts]]:
    groups = _fill_in_order(rests_mm, counts, rules)
    groups += [tuple(int(i == j) for j in range(len(rests_mm))) for i in range(len(rests_mm))]
    if rules.joint_rule == "priced":
        groups.append(tuple(counts))
    groups = list(dict.fromkeys(groups))
    pricing = GroupPricing(rests_mm, counts, rules)
    bound = 0.0
    for _ in range(MOST_ROUNDS):
        prices = np.maximum(0, _model(groups, rests_mm, counts, rules, whole=False).solve().prices)
        found = pricing.price(prices)
        bound = max(bound, float(prices @ np.array(counts)) / found.overreach_ratio)
        new = [group for group in found.groups if group not in set(groups)]
        if not new:
            break
        groups += new
    bound_mm = _round_up(bound, rules)
    if rules.keep_from_mm >= rules.stock_length_mm:
        bound_mm = max(bound_mm, _count_fewest(rests_mm, counts, rules) * rules.stock_length_mm)
    return bound_mm, groups


def _count_fewest(rests_mm: Sequence[int], counts: Sequence[int], rules: LengthRules) -> int:
    """Count the lengths that serve as much as all remainders and their cuts take."""
    takes = sum(n * (mm + rules.kerf_mm) for mm, n in zip(rests_mm, counts, strict=True))
    return -(-takes // (rules.stock_length_mm + rules.kerf_mm))


def _round_up(bound_mm: float, rules: LengthRules) -> int:
    step_mm = 1
    if rules.keep_from_mm >= rules.stock_length_mm:
        priced_mm = rules.joint_price_mm if rules.joint_rule == "priced" else 0
        step_mm = gcd(rules.stock_length_mm, priced_mm)
    return ceil((bound_mm - max(_TOLERANCE_MM, _TOLERANCE_RATIO * bound_mm)) / step_mm) * step_mm


def _model(
    groups: Sequence[Counts],
    rests_mm: Sequence[int],
    counts: Sequence[int],
    rules: LengthRules,
    *,
    whole: bool,
) -> LinearModel:
    model = LinearModel()
    for cost in _cost(groups, rests_mm, rules):
        model.add(float(cost), whole=whole)
    for kind, count in enumerate(counts):
        model.bind({i: float(g[kind]) for i, g in enumerate(groups) if g[kind]}, lower=count)
    return model


def _cost(
    groups: Sequence[Counts], rests_mm: Sequence[int], rules: LengthRules
) -> npt.NDArray[np.int64]:
    takes = np.array(rests_mm, dtype=np.int64) + rules.kerf_mm
    return cost_groups(np.array(groups, dtype=np.int64) @ takes, rules).cost_mm


def _choose(
    groups: Sequence[Counts], rests_mm: Sequence[int], counts: Sequence[int], rules: LengthRules
) -> list[Counts]:
    """Choose whole groups; what is in them beyond the runs wanted is taken out again."""
    plans = [_fill_in_order(rests_mm, counts, rules)]
    solved = _model(groups, rests_mm, counts, rules, whole=True).solve(MOST_NODES)
    if solved.values is not None:
        times = [round(value) for value in solved.values]
        plans.append([g for g, n in zip(groups, times, strict=True) for _ in range(n)])
    exact = [_take_out(plan, counts) for plan in plans]
    return min(exact, key=lambda plan: int(_cost(plan, rests_mm, rules).sum()))


def _take_out(plan: Sequence[Counts], counts: Sequence[int]) -> list[Counts]:
    left, kept = list(counts), []
    for group in plan:
        exact = tuple(min(count, most) for count, most in zip(group, left, strict=True))
        left = [most - count for count, most in zip(exact, left, strict=True)]
        kept.append(exact)
    return [group for group in kept if any(group)]


def _fill_in_order(
    rests_mm: Sequence[int], counts: Sequence[int], rules: LengthRules
) -> list[Counts]:
    """Put each run, longest first, in the fullest length that it fits (best fit decreasing)."""
    opened: list[list[int]] = []
    rooms: list[int] = []
    for kind, (rest, count) in enumerate(zip(rests_mm, counts, strict=True)):
        for _ in range(count):
            fits = [(room, i) for i, room in enumerate(rooms) if room >= rest]
            if not fits:
                opened.append([0] * len(rests_mm))
                rooms.append(rules.stock_length_mm)
            at = min(fits)[1] if fits else len(rooms) - 1
            opened[at][kind] += 1
            rooms[at] -= rest + rules.kerf_mm
    return [tuple(group) for group in opened]


def _name_runs(
    chosen: Sequence[Counts], rests_mm: Sequence[int], remainders: Sequence[Remainder]
) -> Iterator[list[Remainder]]:
    by_rest = {
        rest: iter([each for each in remainders if each.rest_mm == rest]) for rest in rests_mm
    }
    for group in chosen:
        yield [
            next(by_rest[rest])
            for rest, count in zip(rests_mm, group, strict=True)
            for _ in range(count)
        ]


def _lay_group(group: Sequence[Remainder], rules: LengthRules) -> list[LaidOut]:
    laid = lay_out(group, rules)
    if laid is not None:
        return [laid]
    parts = [group[start : start + MOST_RUNS] for start in range(0, len(group), MOST_RUNS)]
    return [each for part in parts for each in plan_few(part, rules)[1]]
