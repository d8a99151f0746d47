"""Which group of runs is worth most beside what it costs, at a price for each length of run."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from pipelines.cutting.plans import LengthRules
from pipelines.cutting.remainders import Numbers, cost_groups

SCALE = 10**6
"""Parts of a mm in which prices are counted, so that sums are exact."""

_UNREACHED = -(2**60)


@dataclass(frozen=True)
class Priced:
    """
    Groups worth more than they cost, and how far prices overreach.

    Attributes:
        groups: by group, how many runs of each length are in it.
        overreach_ratio: the most that any group is worth over its cost; 1 where none overreaches.

    """

    groups: tuple[tuple[int, ...], ...]
    overreach_ratio: float


class GroupPricing:
    """All sums that the runs of a job can come to, and what a group of each sum costs."""

    def __init__(self, rests_mm: Sequence[int], counts: Sequence[int], rules: LengthRules) -> None:
        """Take the distinct remainders (mm) and how many runs have each."""
        takes = [rest + rules.kerf_mm for rest in rests_mm]
        most = sum(take * count for take, count in zip(takes, counts, strict=True))
        if rules.joint_rule == "forced_only":
            most = min(most, rules.stock_length_mm + rules.kerf_mm)
        self._batches = [
            (i, size, size * take)
            for i, (take, count) in enumerate(zip(takes, counts, strict=True))
            for size in _batch_sizes(min(count, most // take))
        ]
        costs = cost_groups(np.arange(most + 1), rules)
        self._costs: Numbers = costs.cost_mm
        self._lengths: Numbers = costs.lengths_count
        self._kinds = len(takes)

    def price(self, prices_mm: npt.NDArray[np.float64]) -> Priced:
        """
        Find the groups worth most, one for each number of lengths that groups may share.

        A knapsack over sums: as what a group costs depends on its sum alone, the best group of
        each sum is found first and its cost taken off after.
        """
        worth, taken = self._fill(np.floor(prices_mm * SCALE).astype(np.int64))
        gain = worth - self._costs * SCALE
        gain[0] = 0
        sums = {int(at) for at in self._best_by_lengths(gain) if gain[at] > SCALE // 1000}
        ratio = float((np.maximum(worth[1:], 0) / (self._costs[1:] * SCALE)).max())
        return Priced(tuple(self._read(taken, at) for at in sorted(sums)), max(1.0, ratio))

    def _best_by_lengths(self, gain: Numbers) -> list[int]:
        starts = np.searchsorted(self._lengths, np.unique(self._lengths))
        ends = [*starts[1:], gain.size]
        return [
            int(start + gain[start:end].argmax()) for start, end in zip(starts, ends, strict=True)
        ]

    def _fill(self, prices: Numbers) -> tuple[Numbers, list[npt.NDArray[np.bool_]]]:
        worth = np.full(self._costs.size, _UNREACHED, dtype=np.int64)
        worth[0] = 0
        taken = []
        for kind, size, sum_mm in self._batches:
            with_it = np.full(worth.size, _UNREACHED, dtype=np.int64)
            with_it[sum_mm:] = worth[:-sum_mm] + size * prices[kind]
            better = with_it > np.maximum(worth, 0 if prices[kind] <= 0 else _UNREACHED)
            taken.append(better)
            worth = np.where(better, with_it, worth)
        return worth, taken

    def _read(self, taken: Sequence[npt.NDArray[np.bool_]], sum_mm: int) -> tuple[int, ...]:
        group = [0] * self._kinds
        for (kind, size, batch_mm), better in zip(
            reversed(self._batches), reversed(taken), strict=True
        ):
            if better[sum_mm]:
                group[kind] += size
                sum_mm -= batch_mm
        return tuple(group)


def _batch_sizes(count: int) -> list[int]:
    """Split so many like runs in batches of 1, 2, 4 ... whose sums give every lesser number."""
    sizes: list[int] = []
    while count > 0:
        size = min(count, 1 << len(sizes))
        sizes.append(size)
        count -= size
    return sizes
