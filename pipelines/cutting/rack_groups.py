"""What groups of runs cost that share new lengths and rack pieces."""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import combinations_with_replacement

import numpy as np

from pipelines.cutting.partings import Costs, Sets
from pipelines.cutting.plans import LengthRules, Offcut, Run, joints_cost_mm
from pipelines.cutting.remainders import take_whole_lengths

MOST_IN_A_GROUP = 2
"""Rack pieces that may join one group of runs, where not every set of them is looked at."""

FEW_CELLS = 8_192
"""Groups x sets of rack pieces that are few enough to look at every set."""

MOST_SIZES = 40
"""Lengths of rack pieces, the longest of them, that a plan looks at."""

TIE_MM = 0.1
"""Joins and new lengths weigh less than this in a cost: they only part equal costs."""

_A_JOIN_MM = 1e-4
_A_LENGTH_MM = 1e-6

Kit = tuple[int, ...]
"""Which sizes of rack pieces a group takes, as positions among the sizes."""


@dataclass(frozen=True)
class RackGroups:
    """
    The costs of every group of runs with every kit of rack pieces.

    With no least piece a group of runs with pieces of these lengths can be cut if, and only if,
    the sum of (length - lap) is not less than sum(run + kerf) - (lap + kerf), joins being one
    fewer than lengths. Where only runs longer than a length are joined, lengths are one more
    than the joins that these runs force, and the same sum decides: as no rack piece is longer
    than a new length, each length but one can serve a long run alone, which it never fills, and
    the last length takes what is left of all runs.

    A group takes no piece that it could do without.
    """

    runs: tuple[Run, ...]
    rules: LengthRules
    sizes_mm: tuple[int, ...]
    counts: tuple[int, ...]
    kits: tuple[Kit, ...]
    ratio: float

    @cached_property
    def uses(self) -> Costs:
        """Give by kit and size how many pieces of the size the kit holds."""
        return np.array(
            [[kit.count(size) for size in range(len(self.sizes_mm))] for kit in self.kits],
            dtype=np.float64,
        ).reshape(len(self.kits), len(self.sizes_mm))

    @cached_property
    def costs(self) -> Costs:
        """Give by group, as bits, and kit what they cost in mm; infinite where they can't be."""
        return np.column_stack([self._cost_kit(kit) for kit in self.kits])

    @cached_property
    def need_mm(self) -> Sets:
        """Give by group what its lengths have to serve: sum(run + kerf) - (lap + kerf)."""
        takes = np.zeros(1, dtype=np.int64)
        for run in self.runs:
            takes = np.concatenate([takes, takes + run.run_mm + self.rules.kerf_mm])
        return takes - self.rules.lap_mm - self.rules.kerf_mm

    @cached_property
    def forced(self) -> Sets:
        """Give by group the joins of its runs that are longer than a length."""
        forced = np.zeros(1, dtype=np.int64)
        for run in self.runs:
            joins = take_whole_lengths(run, self.rules).whole_count
            forced = np.concatenate([forced, forced + joins])
        return forced

    def lengths_mm(self, kit: Kit) -> list[int]:
        """Give the lengths of a kit's pieces."""
        return [self.sizes_mm[size] for size in kit]

    def count_new(self, kit: Kit) -> Sets:
        """Give by group the new lengths that it takes beside a kit; below 0 if that is too big."""
        if self.rules.joint_rule == "forced_only":
            return 1 + self.forced - len(kit)
        serves = self.rules.stock_length_mm - self.rules.lap_mm
        served = sum(length - self.rules.lap_mm for length in self.lengths_mm(kit))
        return np.maximum(0 if kit else 1, -((served - self.need_mm) // serves))

    def _cost_kit(self, kit: Kit) -> Costs:
        rules, pieces = self.rules, self.lengths_mm(kit)
        new = self.count_new(kit)
        serves = [length - rules.lap_mm for length in pieces]
        over = new * (rules.stock_length_mm - rules.lap_mm) + sum(serves) - self.need_mm
        joins = new + len(kit) - 1
        can_be = (new >= 0) & (over >= 0)
        if kit:
            joinable = min(pieces) >= max(rules.least_piece_mm, rules.lap_mm + 1)
            can_be &= (joins == 0) | (joinable & (over < min(serves)))
        left = np.maximum(0, over - rules.kerf_mm)
        kept = np.where(left >= rules.keep_from_mm, left, 0) * np.where(new > 0, 1, self.ratio)
        cost = new * rules.stock_length_mm + sum(pieces) * self.ratio - kept
        ties = joins * (joints_cost_mm(rules, 1) + _A_JOIN_MM) + (new + len(kit)) * _A_LENGTH_MM
        can_be[0] = False
        return np.where(can_be, cost + ties, np.inf)


def list_groups(
    runs: Sequence[Run], rules: LengthRules, offcuts: Sequence[Offcut], ratio: float
) -> RackGroups:
    """
    List the kits of rack pieces that groups of runs may take.

    All sets of rack pieces where these are few, else no more than `MOST_IN_A_GROUP` at once.
    """
    counted = Counter(offcut.length_mm for offcut in offcuts)
    sizes = tuple(sorted(counted, reverse=True)[:MOST_SIZES])
    counts = tuple(counted[size] for size in sizes)
    all_kits = int(np.prod([1.0 + count for count in counts])) << len(runs)
    most = sum(counts) if all_kits <= FEW_CELLS else MOST_IN_A_GROUP
    kits = tuple(
        kit
        for size in range(most + 1)
        for kit in combinations_with_replacement(range(len(sizes)), size)
        if all(kit.count(each) <= counts[each] for each in kit)
    )
    return RackGroups(tuple(runs), rules, sizes, counts, kits, ratio)
