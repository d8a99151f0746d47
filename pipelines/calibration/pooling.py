"""A fixed loss and a rate for each job type, the rate drawn towards that of all jobs."""

from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Positions = npt.NDArray[np.int64]

TYPE_SPREAD_RATIO = 0.4
"""Spread between job types over the scatter of jobs within a type, the same for every material.

Set, not estimated: from the few jobs that most types have, an estimate comes out 0 about as often
as not; all types then share one rate in one month and part again in the next. At 0.4 a type's own
jobs weigh as much as all jobs from 1 / 0.4^2, so about six, jobs on.
"""

SAME_SIZE = 1e-9
"""Spread of the sizes, over their square, below which all jobs are of one size."""


@dataclass(frozen=True)
class Pooling:
    """
    What jobs in groups say of a mean, a slope and each group's own level.

    `own` (not a number for a group without jobs), `trust` and `rate` hold one figure for each
    group, `fitted` and `leverage` one for each job.
    """

    mean: float
    slope: float
    own: Floats
    trust: Floats
    rate: Floats
    fitted: Floats
    leverage: Floats


@dataclass(frozen=True)
class _Groups:
    """Jobs counted by group, with the two weights that pooling gives a group."""

    position: Positions
    count: Floats
    trust: Floats
    weight: Floats

    def average(self, values: Floats) -> Floats:
        total = np.bincount(self.position, weights=values, minlength=len(self.count))
        return total / np.maximum(self.count, 1.0)

    def centre(self, averages: Floats) -> float:
        return float((self.weight * averages).sum() / self.weight.sum())


def pool(
    ratio: Floats, size: Floats, group: Positions, *, group_count: int, spread_ratio: float
) -> Pooling:
    """
    Solve the mixed model ratio = mean + slope x size + level of the group + scatter.

    Group levels have `spread_ratio` times the spread of the scatter. The mixed-model equations
    (Henderson) are solved in closed form: a group of n jobs is trusted B = n / (n + 1 / spread^2),
    its level is B (own - mean), with own = average of ratio - slope x size over its jobs.

    Args:
        ratio: what was measured on each job, centred near 0.
        size: the column of the slope. All equal: the slope can't be told and is 0.
        group: position of each job's group, 0 to group_count - 1.
        group_count: groups, with jobs or without; one without gets the mean.
        spread_ratio: spread between groups over the scatter within, above 0.

    Returns:
        `rate` = mean + level of the group; `leverage` = change of a job's own fitted figure with
        its ratio, with which (ratio - fitted) / (1 - leverage) is the miss of the job by the
        fit to all other jobs.

    """
    groups = _group(group, group_count, spread_ratio)
    own_ratio, own_size = groups.average(ratio), groups.average(size)
    centre_size = groups.centre(own_size)
    trust = groups.trust[group]
    pull = (size - own_size[group]) + (1 - trust) * (own_size[group] - centre_size)
    spread = float((pull * (size - centre_size)).sum())
    told = spread > SAME_SIZE * float((size**2).sum())
    slope = float((pull * ratio).sum()) / spread if told else 0.0
    mean = groups.centre(own_ratio) - slope * centre_size
    own = own_ratio - slope * own_size
    rate = groups.trust * own + (1 - groups.trust) * mean
    leverage = trust / groups.count[group] + (1 - trust) ** 2 / groups.weight.sum()
    return Pooling(
        mean=mean,
        slope=slope,
        own=np.where(groups.count > 0, own, np.nan),
        trust=groups.trust,
        rate=rate,
        fitted=rate[group] + slope * size,
        leverage=leverage + pull**2 / spread if told else leverage,
    )


def _group(group: Positions, group_count: int, spread_ratio: float) -> _Groups:
    count = np.bincount(group, minlength=group_count).astype(np.float64)
    trust = count / (count + spread_ratio**-2)
    return _Groups(group, count, trust, weight=count / (1 + count * spread_ratio**2))
