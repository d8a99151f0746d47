"""The cheapest way to part runs into groups, whatever the groups cost."""

from collections.abc import Sequence
from functools import cache

import numpy as np
import numpy.typing as npt

Costs = npt.NDArray[np.float64]
Sets = npt.NDArray[np.int64]


def cost_partings(costs: Costs) -> Costs:
    """
    Give what the cheapest parting of every set of runs costs.

    Args:
        costs: by set, as bits, what it costs as one group; infinite where it can't be one.

    """
    least = np.zeros_like(costs)
    for run in range(costs.size.bit_length() - 1):
        first = 1 << run
        groups, rests, starts = _list_subsets(run)
        joined = costs[first + groups] + least[rests]
        least[first : 2 * first] = np.minimum.reduceat(joined, starts)
    return least


def read_parting(costs: Costs, least: Costs) -> Sequence[int]:
    """Give the groups, as bits, of the cheapest parting of all runs; the first of equals."""
    groups, rest = [], costs.size - 1
    while rest:
        run = rest.bit_length() - 1
        others = rest - (1 << run)
        inside, outside, starts = _list_subsets(run)
        mine = slice(int(starts[others]), int(starts[others]) + (1 << others.bit_count()))
        best = int((costs[(1 << run) + inside[mine]] + least[outside[mine]]).argmin())
        groups.append((1 << run) + int(inside[mine][best]))
        rest = int(outside[mine][best])
    return groups


@cache
def _list_subsets(count: int) -> tuple[Sets, Sets, Sets]:
    """Give every subset of every set of so many runs, what it leaves, where each set starts."""
    subsets = [np.zeros(1, dtype=np.int64)]
    for run in range(count):
        subsets += [np.concatenate([each, each + (1 << run)]) for each in subsets]
    sizes = np.array([each.size for each in subsets])
    inside = np.concatenate(subsets)
    outside = np.repeat(np.arange(sizes.size), sizes) - inside
    return inside, outside, np.cumsum(sizes) - sizes
