"""The mixed-model equations of jobs in groups, solved from sums over the jobs alone."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

Floats = npt.NDArray[np.float64]
Positions = npt.NDArray[np.int64]

LEAST_VARIANCE = 1e-12
LEAST_SHARE = 1e-6
PARTS = 16
SEARCH_ROUNDS = 10
SEARCH_POINTS = np.linspace(0, 0.98, 50)
MOST_ROUNDS = 60
SETTLED = 1e-9


@dataclass(frozen=True)
class Design:
    """
    Jobs with known columns and one or more blocks of groups.

    `columns` holds the known columns, `groups` one row of positions for each block,
    `precision` one weight for each job; `block` names the block of each level, all blocks'
    levels one after the other. `job_weight` is what the jobs count together.
    """

    columns: Sequence[Floats]
    groups: tuple[Positions, ...]
    precision: Floats
    job_weight: float
    block: Positions
    matrix: Floats

    @property
    def column_count(self) -> int:
        """Give the number of known columns."""
        return len(self.columns)

    def add_up(self, measure: Floats) -> tuple[Floats, float]:
        """Return the right side of the equations and the weighted sum of squares."""
        weighted = self.precision * measure
        levels = [
            np.bincount(group, weights=weighted, minlength=int((self.block == at).sum()))
            for at, group in enumerate(self.groups)
        ]
        known = np.array([(column * weighted).sum() for column in self.columns])
        return np.concatenate([known, *levels]), float((weighted * measure).sum())


@dataclass(frozen=True)
class Solutions:
    """
    Answers for each of several spreads between groups: one row for each.

    `estimate`: columns, then levels. `inverse`: of the scaled matrix, scaled back, so that
    precision x (row of a job) inverse (row of a job) is its leverage. `log_likelihood` is the
    restricted one, up to a constant.
    """

    estimate: Floats
    variance: Floats
    log_likelihood: Floats
    inverse: Floats


def lay_out(
    columns: Sequence[Floats],
    groups: Sequence[Positions],
    level_counts: Sequence[int],
    precision: Floats,
    job_weight: float,
) -> Design:
    """Add up the products of columns and groups; `level_counts` are the levels of each block."""
    weighted = [column * precision for column in columns]
    across = [_sum_by_level(weighted, *each) for each in zip(groups, level_counts, strict=True)]
    products = _multiply(weighted, columns)
    corner = np.hstack([products, *across])
    below = [
        np.hstack([across[at].T, *(_count_pairs(at, other, groups, level_counts, precision)
                                   for other in range(len(groups)))])
        for at in range(len(groups))
    ]  # fmt: skip
    return Design(
        columns=columns,
        groups=tuple(groups),
        precision=precision,
        job_weight=job_weight,
        block=np.repeat(np.arange(len(groups)), level_counts),
        matrix=np.vstack([corner, *below]),
    )


def _multiply(weighted: Sequence[Floats], columns: Sequence[Floats]) -> Floats:
    products = np.zeros((len(columns), len(columns)))
    for row in range(len(columns)):
        for column in range(row + 1):
            products[row, column] = (weighted[row] * columns[column]).sum()
            products[column, row] = products[row, column]
    return products


def _sum_by_level(weighted: Sequence[Floats], group: Positions, level_count: int) -> Floats:
    return np.array([np.bincount(group, weights=row, minlength=level_count) for row in weighted])


def _count_pairs(
    at: int,
    other: int,
    groups: Sequence[Positions],
    level_counts: Sequence[int],
    precision: Floats,
) -> Floats:
    if at == other:
        return np.diag(np.bincount(groups[at], weights=precision, minlength=level_counts[at]))
    here, there = level_counts[at], level_counts[other]
    pair = groups[at] * there + groups[other]
    counted = np.bincount(pair, weights=precision, minlength=here * there)
    return counted.reshape(here, there).astype(np.float64)


@dataclass(frozen=True)
class Inverted:
    """The equations of a design, inverted at each of several spreads; log sizes of the matrices."""

    scale: Floats
    inverse: Floats
    log_size: Floats


def invert(design: Design, spread_ratios: Floats) -> Inverted:
    """Invert the equations at each row of `spread_ratios`; what is measured has no part in it."""
    count = design.column_count
    ones = np.ones((len(spread_ratios), count))
    scale = np.hstack([ones, spread_ratios[:, design.block]])
    hold = np.diag(np.r_[np.zeros(count), np.ones(len(design.block))])
    scaled = design.matrix * scale[:, :, None] * scale[:, None, :] + hold
    return Inverted(scale, np.linalg.inv(scaled), np.linalg.slogdet(scaled).logabsdet)


def solve(design: Design, measure: Floats, spreads: Floats | Inverted) -> Solutions:
    """
    Solve Henderson's equations at each row of `spreads`, one ratio for each block.

    A ratio is the spread of a block's levels over the scatter of the jobs; 0 leaves the block
    out. What `invert` gave at these ratios saves the work of it. The measure is best centred near
    0: sums of squares of far-off figures lose their digits.
    """
    inverted = spreads if isinstance(spreads, Inverted) else invert(design, spreads)
    return _solve_sums(design, design.add_up(measure), inverted)


def _solve_sums(design: Design, sums: tuple[Floats, float], inverted: Inverted) -> Solutions:
    right, squares = sums
    scale = inverted.scale
    wanted = right * scale
    found = np.einsum("gij,gj->gi", inverted.inverse, wanted)
    freedom = design.job_weight - design.column_count
    variance = np.maximum((squares - (found * wanted).sum(axis=1)) / freedom, LEAST_VARIANCE)
    return Solutions(
        estimate=found * scale,
        variance=variance,
        log_likelihood=-0.5 * (freedom * np.log(variance) + inverted.log_size),
        inverse=inverted.inverse * scale[:, :, None] * scale[:, None, :],
    )


def find_likeliest(design: Design, measure: Floats, rounds: int = SEARCH_ROUNDS) -> Floats:
    """
    Find the spread ratio of each block at which the restricted likelihood is largest.

    One block after the other is searched, by sixteenths between the best points of a coarse search
    of ratio / (1 + ratio) until the likelihood's slope is nothing, until the ratios have settled;
    each of the `rounds` gives more than one more digit.
    """
    sums = design.add_up(measure)
    shares = np.full(len(design.groups), 0.5)
    for _ in range(MOST_ROUNDS):
        before = shares.copy()
        for at in range(len(shares)):
            shares[at] = _search(design, sums, shares, at, rounds)
        if len(shares) == 1 or np.abs(shares - before).max() < SETTLED:
            break
    return np.asarray(shares / (1 - shares))


def _search(
    design: Design, sums: tuple[Floats, float], shares: Floats, at: int, rounds: int
) -> float:
    def solve_at(points: Floats) -> Solutions:
        tried = np.tile(shares, (len(points), 1))
        tried[:, at] = points
        return _solve_sums(design, sums, invert(design, tried / (1 - tried)))

    best = int(np.argmax(solve_at(SEARCH_POINTS).log_likelihood))
    low = float(SEARCH_POINTS[max(best - 1, 0)])
    high = float(SEARCH_POINTS[min(best + 1, len(SEARCH_POINTS) - 1)])
    for _ in range(rounds):
        points = np.linspace(low, high, PARTS + 1)[1:-1]
        rising = _slopes(solve_at(points), design, at, points / (1 - points)) > 0
        top = int(np.argmin(rising)) if not rising.all() else len(points)
        low, high = (
            low if top == 0 else float(points[top - 1]),
            high if top == len(points) else float(points[top]),
        )
    return 0.0 if high < LEAST_SHARE else (low + high) / 2


def _slopes(solved: Solutions, design: Design, at: int, ratios: Floats) -> Floats:
    """Give figures of the same sign as the slopes of the restricted likelihood by the ratio."""
    levels = design.column_count + np.flatnonzero(design.block == at)
    spread = (solved.estimate[:, levels] ** 2).sum(axis=1) / solved.variance
    doubt = solved.inverse[:, levels, levels].sum(axis=1)
    return np.asarray((spread + doubt) / ratios**2 - len(levels))
