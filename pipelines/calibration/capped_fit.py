"""Pooling in which a wild job has a capped pull, and small jobs may scatter more than large."""

from dataclasses import dataclass, replace

import numpy as np

from pipelines.calibration.job_lines import JobLines
from pipelines.calibration.middles import find_median
from pipelines.calibration.mixed_model import Floats, find_likeliest
from pipelines.calibration.pooling import Grouped, Pooling, group_jobs, lever, pool

CAP_ROUNDS = 3
CAP_SCALES = 2.0
SQUARE_SCALES = 4.0
MAD_TO_SCATTER = 1.4826
LEAST_SCALE = 1e-3
LIKELIEST_ROUNDS = 3
"""Enough for the fifth digit of a figure that is shown and not used."""

MANY_JOBS = 50_000
FEW_JOBS = 25_000
"""With more than so many jobs the rounds run on every so-manieth, and the last one on all."""

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
class _LaidOut:
    grouped: Grouped
    median_ratio: float
    ratio: Floats


@dataclass(frozen=True)
class _Capped:
    grouped: Grouped
    pooling: Pooling
    median_ratio: float
    ratio: Floats
    capped: Floats


def fit_capped(jobs: JobLines) -> CappedFit:
    """
    Fit twice: with equal scatter, and with the scatter by size that the first fit shows.

    A loss per job below 0 is refused: the loss is then taken as a rate alone.
    """
    found = _fit_twice(jobs, has_loss=True)
    if found.pooling.slope >= 0:
        return found
    return replace(_fit_twice(jobs, has_loss=False), is_fixed_loss_refused=True)


def _fit_twice(jobs: JobLines, *, has_loss: bool) -> CappedFit:
    found, size_spread_ratio = _settle(jobs, has_loss=has_loss)
    return CappedFit(
        pooling=found.pooling,
        median_ratio=found.median_ratio,
        misses=found.ratio - found.pooling.fitted,
        leverage=lever(found.grouped, found.pooling),
        spread=spread_at(jobs.size, size_spread_ratio),
        size_spread_ratio=size_spread_ratio,
        capped_count=int((found.capped != found.ratio).sum()),
        likeliest_spread_ratio=_likeliest(found),
        is_fixed_loss_refused=False,
    )


def _likeliest(found: _Capped) -> float:
    return float(find_likeliest(found.grouped.design, found.capped, LIKELIEST_ROUNDS)[0])


def spread_at(size: Floats, size_spread_ratio: float) -> Floats:
    """Give the scatter of jobs over that of a job of usual size, whose `size` is 1."""
    if not size_spread_ratio:
        return np.ones_like(size)
    return np.asarray(np.sqrt(1 - size_spread_ratio + size_spread_ratio * size**2))


def _settle(jobs: JobLines, *, has_loss: bool) -> tuple[_Capped, float]:
    if jobs.count > MANY_JOBS:
        few, size_spread_ratio = _settle(jobs.thin(jobs.count // FEW_JOBS), has_loss=has_loss)
        whole = _lay_out(jobs, size_spread_ratio, has_loss=has_loss)
        return _pool_round(whole, _carry_over(few, whole), jobs), size_spread_ratio
    even = _pool_capped(jobs, 0.0, has_loss=has_loss)
    size_spread_ratio = _spread_by_size(jobs, even.ratio - even.pooling.fitted)
    if not size_spread_ratio:
        return even, size_spread_ratio
    return _pool_capped(jobs, size_spread_ratio, has_loss=has_loss), size_spread_ratio


def _pool_capped(jobs: JobLines, size_spread_ratio: float, *, has_loss: bool) -> _Capped:
    laid = _lay_out(jobs, size_spread_ratio, has_loss=has_loss)
    found = _pool_round(laid, np.zeros_like(laid.ratio), jobs)
    if jobs.is_whole_piece:
        return found
    for _ in range(CAP_ROUNDS):
        found = _pool_round(laid, found.pooling.fitted, jobs)
    return found


def _lay_out(jobs: JobLines, size_spread_ratio: float, *, has_loss: bool) -> _LaidOut:
    median_ratio = find_median(jobs.ratio)
    size = jobs.size if has_loss else np.zeros_like(jobs.size)
    spread = spread_at(jobs.size, size_spread_ratio)
    grouped = group_jobs(size, jobs.group, len(jobs.types), jobs.weight, spread)
    return _LaidOut(grouped, median_ratio, jobs.ratio - median_ratio)


def _carry_over(few: _Capped, whole: _LaidOut) -> Floats:
    fitted = few.pooling.rate[whole.grouped.group] + (few.median_ratio - whole.median_ratio)
    if whole.grouped.size is None:
        return np.asarray(fitted)
    return np.asarray(fitted + few.pooling.slope * whole.grouped.size)


def _pool_round(laid: _LaidOut, fitted: Floats, jobs: JobLines) -> _Capped:
    capped = laid.ratio if jobs.is_whole_piece else _cap(laid.ratio, fitted)
    pooling = pool(capped, laid.grouped)
    return _Capped(laid.grouped, pooling, laid.median_ratio, laid.ratio, capped)


def _cap(ratio: Floats, fitted: Floats) -> Floats:
    misses = ratio - fitted
    most = CAP_SCALES * _scale(misses)
    wild = np.flatnonzero((misses > most) | (misses < -most))
    capped = ratio.copy()
    capped[wild] = fitted[wild] + np.clip(misses[wild], -most, most)
    return capped


def _scale(misses: Floats) -> float:
    apart = misses - find_median(misses)
    scatter = MAD_TO_SCATTER * find_median(np.abs(apart, out=apart))
    return max(scatter, LEAST_SCALE)


def _spread_by_size(jobs: JobLines, misses: Floats) -> float:
    most = SQUARE_SCALES * _scale(misses)
    squared = np.clip(misses, -most, most) ** 2
    size_squared = jobs.size**2
    mean, mean_size = (
        float((part * jobs.weight).sum() / jobs.weight.sum()) for part in (squared, size_squared)
    )
    apart = size_squared - mean_size
    weighted = jobs.weight * apart
    spread = float((weighted * apart).sum())
    if spread <= 0 or mean <= 0:
        return 0.0
    growing = float((weighted * squared).sum()) / spread
    growing = min(max(growing, 0.0), (1 - LEAST_PLAIN_SHARE) * mean / mean_size)
    plain = mean - growing * mean_size
    return float(growing / (plain + growing))
