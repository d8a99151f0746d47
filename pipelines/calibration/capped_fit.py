"""Pooling in which a wild job has a capped pull, and small jobs may scatter more than large."""

from dataclasses import dataclass, replace

import numpy as np

from pipelines.calibration.job_lines import JobLines
from pipelines.calibration.mixed_model import Floats, find_likeliest
from pipelines.calibration.pooling import Grouped, Pooling, group_jobs, lever, pool

CAP_ROUNDS = 3
CAP_SCALES = 2.0
SQUARE_SCALES = 4.0
MAD_TO_SCATTER = 1.4826
LEAST_SCALE = 1e-3
LEAST_PLAIN_SHARE = 0.05
"""The part of the scatter that does not depend on size is at least this share of the mean."""


@dataclass(frozen=True)
class CappedFit:
    """
    A pooling of the ratios less their median, from capped ratios.

    `misses`: ratio as it was less fitted, for each job; with its `leverage`, the change of its own
    fitted figure with its ratio, miss / (1 - leverage) is its miss by the fit to all other jobs.
    `size_spread_ratio`: the share s of the squared scatter of a job of usual size that grows with
    size^2, so that a job of a size scatters sqrt(1 - s + s size^2) times as much.
    `likeliest_spread_ratio`: the spread between types over the scatter at the largest restricted
    likelihood, which the fit does not use.
    """

    pooling: Pooling
    median_ratio: float
    misses: Floats
    leverage: Floats
    spread: Floats
    size_spread_ratio: float
    capped_count: int
    likeliest_spread_ratio: float
    is_fixed_loss_refused: bool


@dataclass(frozen=True)
class _Capped:
    grouped: Grouped
    pooling: Pooling
    median_ratio: float
    ratio: Floats
    capped: Floats


def fit_capped(jobs: JobLines, *, has_fixed_loss: bool = True) -> CappedFit:
    """
    Fit twice: with equal scatter, and with the scatter by size that the first fit shows.

    A loss per job below 0 is refused: the loss is then taken as a rate alone, as it is where
    `has_fixed_loss` says so.
    """
    if not has_fixed_loss:
        return _fit_twice(jobs, np.zeros_like(jobs.size))
    found = _fit_twice(jobs, jobs.size)
    if found.pooling.slope >= 0:
        return found
    return replace(_fit_twice(jobs, np.zeros_like(jobs.size)), is_fixed_loss_refused=True)


def _fit_twice(jobs: JobLines, size: Floats) -> CappedFit:
    even = _pool_capped(jobs, size, 0.0)
    size_spread_ratio = _spread_by_size(jobs, even.ratio - even.pooling.fitted)
    found = _pool_capped(jobs, size, size_spread_ratio)
    return CappedFit(
        pooling=found.pooling,
        median_ratio=found.median_ratio,
        misses=found.ratio - found.pooling.fitted,
        leverage=lever(found.grouped, found.pooling),
        spread=spread_at(jobs.size, size_spread_ratio),
        size_spread_ratio=size_spread_ratio,
        capped_count=int((found.capped != found.ratio).sum()),
        likeliest_spread_ratio=float(find_likeliest(found.grouped.design, found.capped)[0]),
        is_fixed_loss_refused=False,
    )


def spread_at(size: Floats, size_spread_ratio: float) -> Floats:
    """Give the scatter of jobs over that of a job of usual size, whose `size` is 1."""
    return np.asarray(np.sqrt(1 - size_spread_ratio + size_spread_ratio * size**2))


def _pool_capped(jobs: JobLines, size: Floats, size_spread_ratio: float) -> _Capped:
    median_ratio = float(np.median(jobs.ratio))
    ratio = jobs.ratio - median_ratio
    spread = spread_at(jobs.size, size_spread_ratio)
    grouped = group_jobs(size, jobs.group, len(jobs.types), jobs.weight, spread)
    if jobs.is_whole_piece:
        return _Capped(grouped, pool(ratio, grouped), median_ratio, ratio, ratio)
    capped = _cap(ratio, np.zeros_like(ratio))
    pooling = pool(capped, grouped)
    for _ in range(CAP_ROUNDS):
        capped = _cap(ratio, pooling.fitted)
        pooling = pool(capped, grouped)
    return _Capped(grouped, pooling, median_ratio, ratio, capped)


def _cap(ratio: Floats, fitted: Floats) -> Floats:
    misses = ratio - fitted
    most = CAP_SCALES * _scale(misses)
    return np.asarray(np.where(np.abs(misses) > most, fitted + np.clip(misses, -most, most), ratio))


def _scale(misses: Floats) -> float:
    scatter = MAD_TO_SCATTER * float(np.median(np.abs(misses - np.median(misses))))
    return max(scatter, LEAST_SCALE)


def _spread_by_size(jobs: JobLines, misses: Floats) -> float:
    most = SQUARE_SCALES * _scale(misses)
    squared = np.clip(misses, -most, most) ** 2
    size_squared = jobs.size**2
    mean, mean_size = np.average([squared, size_squared], axis=1, weights=jobs.weight)
    apart = size_squared - mean_size
    spread = float((jobs.weight * apart**2).sum())
    if spread <= 0 or mean <= 0:
        return 0.0
    growing = float((jobs.weight * apart * squared).sum()) / spread
    growing = min(max(growing, 0.0), (1 - LEAST_PLAIN_SHARE) * mean / mean_size)
    plain = mean - growing * mean_size
    return float(growing / (plain + growing))
