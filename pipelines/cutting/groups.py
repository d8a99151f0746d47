"""Which runs of a job share their lengths: the cheapest way to part them, proven."""

from collections.abc import Sequence
from functools import cache

import numpy as np

from pipelines.cutting.plans import LengthRules
from pipelines.cutting.remainders import Numbers, cost_groups

MOST_RUNS = 14
"""Above these every way to part the runs is too many to look at."""

Group = tuple[int, ...]
"""Positions of the runs that share lengths."""

# cost, then joins, then lengths in one figure that adds up over groups
_MOST = 32
_UNITS = _MOST * _MOST


class Groups:
    """
    All groups that up to `MOST_RUNS` remainders can be parted into, and the cheapest parting.

    A dynamic programme over subsets: the cheapest parting of a set is the cheapest, over the
    groups that hold its first run, of the group and the parting of the rest. Equal costs are
    parted by fewest joins, then fewest lengths, then the longest single leftover, then the order
    of the runs.
    """

    def __init__(self, rests_mm: Sequence[int], rules: LengthRules) -> None:
        """Cost every group of the remainders (mm), the first of which is the highest bit."""
        self._count = len(rests_mm)
        self._bits = np.int64((rules.stock_length_mm + 1).bit_length())
        takes = np.zeros(1, dtype=np.int64)
        for rest in reversed(rests_mm):
            takes = np.concatenate([takes, takes + rest + rules.kerf_mm])
        costs = cost_groups(takes, rules)
        self._ranks = costs.cost_mm * _UNITS + costs.joints_count * _MOST + costs.lengths_count
        self._impossible = 2 * self._count * int(self._ranks[1:].max())
        self._ranks = np.where(costs.can_be_cut, self._ranks, self._impossible)
        self._short = rules.stock_length_mm - np.minimum(costs.leftover_mm, rules.stock_length_mm)

    def part(self) -> tuple[int, tuple[Group, ...]]:
        """Give the least cost in mm (whole lengths not in it) and the groups of run positions."""
        ranks, short = self._best_of_all()
        rest, groups = (1 << self._count) - 1, []
        while rest:
            subsets = _subsets_of(rest, self._count)
            joined = self._join(subsets, rest - subsets, ranks, short)
            chosen = int(subsets[joined.argmin()])
            groups.append(self._positions(chosen))
            rest -= chosen
        return int(ranks[-1]) // _UNITS, tuple(groups)

    def revise(self, group: Group, cost_mm: int | None) -> None:
        """Set what a group costs after all, its joins and lengths being as many; None: can't be."""
        mask = sum(1 << (self._count - 1 - position) for position in group)
        counts = self._ranks[mask] % _UNITS
        self._ranks[mask] = self._impossible if cost_mm is None else cost_mm * _UNITS + counts

    def _best_of_all(self) -> tuple[Numbers, Numbers]:
        size = 1 << self._count
        ranks, short = np.zeros(size, dtype=np.int64), np.zeros(size, dtype=np.int64)
        short[0] = (1 << int(self._bits)) - 1
        for run in range(self._count):
            first = 1 << run
            if run == self._count - 1:
                others = np.arange(first)
                starts, rest = np.zeros(1, dtype=np.int64), others[::-1]
                target = slice(size - 1, size)
            else:
                others, rest, starts = (each[: 3**run] for each in _pairs(self._count))
                starts, target = starts[:first], slice(first, 2 * first)
            joined = self._join(first + others, rest, ranks, short)
            least = np.minimum.reduceat(joined, starts)
            ranks[target] = least >> self._bits
            short[target] = least - (ranks[target] << self._bits)
        return ranks, short

    def _join(self, groups: Numbers, rests: Numbers, ranks: Numbers, short: Numbers) -> Numbers:
        longest = np.minimum(self._short[groups], short[rests])
        joined: Numbers = ((self._ranks[groups] + ranks[rests]) << self._bits) + longest
        return joined

    def _positions(self, mask: int) -> Group:
        return tuple(i for i in range(self._count) if mask >> (self._count - 1 - i) & 1)


@cache
def _pairs(count: int) -> tuple[Numbers, Numbers, Numbers]:
    """Give every subset of every set of count - 2 runs, what it leaves, where each set starts."""
    subsets = [np.zeros(1, dtype=np.int64)]
    for run in range(max(0, count - 2)):
        subsets += [np.concatenate([each, each + (1 << run)]) for each in subsets]
    sizes = np.array([each.size for each in subsets])
    inside = np.concatenate(subsets)
    return inside, np.repeat(np.arange(sizes.size), sizes) - inside, np.cumsum(sizes) - sizes


def _subsets_of(whole: int, count: int) -> Numbers:
    """Give the subsets of a set that hold its first run."""
    first = 1 << (whole.bit_length() - 1)
    others = whole - first
    if whole.bit_length() == count:
        return first + np.arange(first)
    inside, _, starts = _pairs(count)
    begin = int(starts[others])
    return first + inside[begin : begin + (1 << others.bit_count())]
