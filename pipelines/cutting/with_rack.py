"""The least material that one job's runs of one trim can be cut from, the rack's pieces first."""

import re
from collections import Counter, defaultdict
from collections.abc import Sequence
from dataclasses import replace
from fractions import Fraction
from math import ceil, inf

import numpy as np

from pipelines.cutting.least_lengths import plan_least
from pipelines.cutting.plans import CutLength, CutPlan, LengthRules, Offcut, Run, joints_cost_mm
from pipelines.cutting.rack_groups import TIE_MM, RackGroups, list_groups
from pipelines.cutting.rack_laying_out import RackGroup
from pipelines.cutting.remainders import take_whole_lengths
from pipelines.cutting.set_partition import Chosen, SetPartition
from pipelines.errors import QuantityError

MOST_RUNS = 12
"""Above these the runs share out the rack in portions."""

MOST_REVISIONS = 8
"""Partings tried after the first, where a least piece keeps groups from their cost."""

Lengths = tuple[CutLength, ...]


def plan_with_rack(
    runs: Sequence[Run],
    rules: LengthRules,
    offcuts: Sequence[Offcut],
    offcut_price_ratio: float = 0.5,
) -> CutPlan:
    """
    Find the plan that costs least in new lengths and rack pieces, and a bound.

    A mm of a rack piece counts `offcut_price_ratio` of a mm of a new length, when it is used up
    and when it is kept; at less than 1 the rack is used up before new lengths are opened. No
    length or rack piece is taken that the runs joined to it could do without. On small jobs any
    number of rack pieces may join a group of runs, else at most two, and the bound is of such
    plans; above `MOST_RUNS` runs the bound counts lengths and forced joins only. Of equal rack
    pieces the lower label is taken first.

    Args:
        runs: finished lengths, corner covers taken off.
        rules: how the trim may be cut and joined; the rack keeps the joint rule as well.
        offcuts: the rack's pieces of this trim, each with its own label.
        offcut_price_ratio: from 0 to 1.

    Returns:
        A plan, proven where its cost is its bound; never dearer than new lengths alone.

    Raises:
        QuantityError: a run that can't be cut, or a rack piece that can't be, by its label.

    """
    _refuse_offcuts(offcuts, rules, offcut_price_ratio)
    from_new = replace(plan_least(runs, rules), offcut_price_ratio=offcut_price_ratio)
    if not runs or not offcuts:
        return from_new
    ordered = sorted(runs, key=lambda run: (run.run_mm, -run.edge_no))
    if len(runs) > MOST_RUNS:
        lengths = _plan_portions(ordered, rules, offcuts, offcut_price_ratio)
        bound = _bound_bare(ordered, rules, offcuts, offcut_price_ratio)
    else:
        groups = list_groups(ordered, rules, offcuts, offcut_price_ratio)
        lengths, bound = _plan_groups(groups, offcuts)
    plan = replace(from_new, lengths=lengths or from_new.lengths)
    best = min(plan, from_new, key=lambda each: each.cost_mm)
    return replace(best, bound_mm=min(bound, best.cost_mm))


def _plan_groups(groups: RackGroups, offcuts: Sequence[Offcut]) -> tuple[Lengths, int]:
    """Lay out the cheapest parting; a group that can't be cut at its cost is revised."""
    costs, available = groups.costs.copy(), np.array(groups.counts, dtype=np.float64)
    best: Lengths = ()
    best_cost, bounds = inf, []
    for _ in range(1 + MOST_REVISIONS):
        parted = SetPartition(costs, groups.uses, available).part()
        bounds.append(parted.bound)
        made = _make_groups(parted.chosen, groups, offcuts)
        laid_out = [each.lay_out() for each in made]
        revised = [
            inf if lengths is None else each.cost_mm(lengths)
            for each, lengths in zip(made, laid_out, strict=True)
        ]
        if sum(revised) < best_cost:
            best_cost = sum(revised)
            best = tuple(length for lengths in laid_out if lengths for length in lengths)
        if best_cost <= ceil(parted.cost - TIE_MM) or not parted.chosen:
            break
        for (group, kit), cost in zip(parted.chosen, revised, strict=True):
            costs[group, kit] = max(cost, costs[group, kit])
    return best, ceil(bounds[0] - TIE_MM)


def _make_groups(chosen: Chosen, groups: RackGroups, offcuts: Sequence[Offcut]) -> list[RackGroup]:
    """Give each chosen group its runs and rack pieces; of equal ones the lowest label first."""
    racked = defaultdict(list)
    for offcut in sorted(offcuts, key=_sort_label):
        racked[offcut.length_mm].append(offcut)
    made = []
    for mask, kit_no in chosen:
        kit = groups.kits[kit_no]
        runs = tuple(run for i, run in enumerate(groups.runs) if mask >> i & 1)
        taken = tuple(racked[length].pop(0) for length in groups.lengths_mm(kit))
        new = int(groups.count_new(kit)[mask])
        made.append(RackGroup(runs, taken, new, groups.rules, groups.ratio))
    return made


def _plan_portions(
    ordered: Sequence[Run], rules: LengthRules, offcuts: Sequence[Offcut], ratio: float
) -> Lengths:
    """Deal the runs out in portions, long and short alike; each takes of the rack what is left."""
    count = -(-len(ordered) // MOST_RUNS)
    lengths: Lengths = ()
    for first in range(count):
        taken = {length.offcut_label for length in lengths}
        left = [offcut for offcut in offcuts if offcut.label not in taken]
        lengths += plan_with_rack(ordered[first::count], rules, left, ratio).lengths
    return lengths


def _bound_bare(
    runs: Sequence[Run], rules: LengthRules, offcuts: Sequence[Offcut], ratio: float
) -> int:
    """Bound by runs and forced joins alone, as much of them as can be from the rack."""
    joins = sum(take_whole_lengths(run, rules).whole_count for run in runs)
    needed_mm = sum(run.run_mm for run in runs) + joins * rules.lap_mm
    racked_mm = min(needed_mm, sum(offcut.length_mm for offcut in offcuts))
    saved = racked_mm * (1 - Fraction(str(ratio)))
    return ceil(needed_mm - saved) + joints_cost_mm(rules, joins)


def _sort_label(offcut: Offcut) -> str:
    return re.sub(r"\d+", lambda digits: digits[0].zfill(12), offcut.label)


def _refuse_offcuts(offcuts: Sequence[Offcut], rules: LengthRules, ratio: float) -> None:
    if not 0 <= ratio <= 1:
        raise QuantityError(f"offcut_price_ratio: {ratio} is not from 0 to 1")
    for offcut in offcuts:
        if not 0 < offcut.length_mm <= rules.stock_length_mm:
            raise QuantityError(
                f"rack piece {offcut.label}: {offcut.length_mm} mm can't be; it is longer than 0 "
                f"and no longer than a new length of {rules.stock_length_mm} mm"
            )
    labels = Counter(offcut.label for offcut in offcuts)
    twice = sorted(label for label, count in labels.items() if count > 1)
    if twice:
        raise QuantityError(f"rack piece {twice[0]}: two pieces carry this label")
