"""A fixed loss and a rate for each job type, the rate drawn towards that of all jobs."""

from dataclasses import dataclass

import numpy as np

from pipelines.calibration.mixed_model import (
    Design,
    Floats,
    Inverted,
    Positions,
    Solutions,
    invert,
    lay_out,
    solve,
)

SPREAD_RATIOS: Floats = np.array([0.01, *np.linspace(0.05, 1.5, 16), 2.0, 3.0])
"""Spreads between job types over the scatter of jobs within a type, each of which may be true.

No single one is taken: from the few jobs that most types have, the likeliest comes out 0 about as
often as not; all types would then share one rate in one month and part again in the next.
"""

_CELL_EDGES = np.array([0.0, *(SPREAD_RATIOS[1:] + SPREAD_RATIOS[:-1]) / 2, 3.0])
PRIOR: Floats = np.exp(-(SPREAD_RATIOS**2) / 2) * np.diff(_CELL_EDGES)
"""Half-normal belief in each spread before any job is seen, times the step of the grid."""

SAME_SIZE = 1e-9
"""Spread of the sizes, over their square, below which all jobs are of one size."""


@dataclass(frozen=True)
class Pooling:
    """
    What jobs in groups say of a mean, a slope and each group's own level.

    rate = trust x own + (1 - trust) x others, one figure for each group, as are `group_weight`
    (what its jobs count) and `own` (not a number for a group without jobs). `fitted` holds one
    figure for each job, `inverse` is that of the equations, `belief` that in each of
    `SPREAD_RATIOS`.
    """

    mean: float
    slope: float
    own: Floats
    trust: Floats
    others: Floats
    rate: Floats
    group_weight: Floats
    fitted: Floats
    inverse: Floats
    belief: Floats
    variance: float


@dataclass(frozen=True)
class Grouped:
    """Jobs whose ratio is pooled: their equations, size (None: no slope) and group."""

    design: Design
    inverted: Inverted
    size: Floats | None
    group: Positions


def group_jobs(
    size: Floats, group: Positions, group_count: int, weight: Floats, spread: Floats
) -> Grouped:
    """
    Make ready for `pool`.

    Args:
        size: the column of the slope. All equal: the slope can't be told and is left out.
        group: position of each job's group, 0 to group_count - 1.
        group_count: groups, with jobs or without; one without gets the mean.
        weight: what each job counts.
        spread: scatter of each job over that of a job of usual size.

    """
    mean_square = float(np.mean(size**2))
    told = mean_square - float(np.mean(size)) ** 2 > SAME_SIZE * mean_square
    columns = [np.ones_like(size), size] if told else [np.ones_like(size)]
    design = lay_out(columns, [group], [group_count], weight / spread**2, float(weight.sum()))
    inverted = invert(design, SPREAD_RATIOS[:, None])
    return Grouped(design, inverted, size if told else None, group)


def pool(ratio: Floats, jobs: Grouped) -> Pooling:
    """
    Fit ratio = mean + slope x size + level of the group + scatter, averaged over the spread.

    For each of `SPREAD_RATIOS` the mixed-model equations (Henderson) are solved; answers are
    averaged by restricted likelihood times `PRIOR`. At one spread a group whose jobs count n is
    trusted n / (n + 1 / spread^2), own = its average of ratio - slope x size; the average over
    spreads is again such a mean, with others = the mean that its rest is drawn to.

    Args:
        ratio: what was measured on each job, centred near 0.
        jobs: as `group_jobs` makes them.

    """
    solved = solve(jobs.design, ratio, jobs.inverted)
    belief = _weigh(solved.log_likelihood)
    count = jobs.design.column_count
    estimate = belief @ solved.estimate
    mean, slope = float(estimate[0]), float(estimate[1]) if count > 1 else 0.0
    rate = mean + estimate[count:]
    fitted = rate[jobs.group]
    if jobs.size is not None:
        fitted += slope * jobs.size
    weight = np.diag(jobs.design.matrix)[count:]
    trust, others, own = _split(solved, belief, weight, rate)
    return Pooling(
        mean=mean,
        slope=slope,
        own=own,
        trust=trust,
        others=others,
        rate=np.where(weight > 0, rate, mean),
        group_weight=weight,
        fitted=fitted,
        inverse=np.einsum("g,gij->ij", belief, solved.inverse),
        belief=belief,
        variance=float(belief @ solved.variance),
    )


def _weigh(log_likelihood: Floats) -> Floats:
    weight = np.exp(log_likelihood - log_likelihood.max()) * PRIOR
    return np.asarray(weight / weight.sum())


def _split(
    solved: Solutions, belief: Floats, weight: Floats, rate: Floats
) -> tuple[Floats, Floats, Floats]:
    each = weight / (weight + SPREAD_RATIOS[:, None] ** -2)
    trust = belief @ each
    doubt = belief[:, None] * (1 - each)
    others = (doubt * solved.estimate[:, :1]).sum(axis=0) / doubt.sum(axis=0)
    has_jobs = weight > 0
    own = np.full_like(rate, np.nan)
    own[has_jobs] = ((rate - (1 - trust) * others) / np.where(has_jobs, trust, 1))[has_jobs]
    return trust, others, own


def lever(jobs: Grouped, pooling: Pooling) -> Floats:
    """Give the change of each job's own fitted figure with its ratio, beliefs held."""
    inverse = pooling.inverse
    count = jobs.design.column_count
    pull = (inverse[0, 0] + 2 * inverse[0, count:] + np.diag(inverse)[count:])[jobs.group]
    if jobs.size is not None:
        by_size = 2 * (inverse[0, 1] + inverse[1, count:])[jobs.group]
        pull = pull + jobs.size * (by_size + jobs.size * inverse[1, 1])
    return np.asarray(jobs.design.precision * pull)
