"""The straight line through use between counts: generalised least squares."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

LEAST_NOISE, MOST_NOISE = 0.001, 1.0
COARSE_STEPS, FINE_STEPS = 100, 100


@dataclass(frozen=True)
class Periods:
    """
    What was used and needed between counts, period by period, base units.

    A count stands between each period and the next: `count_variance` is one longer than the
    others. `job_square` is the sum over a period's jobs of their base, squared. `is_known` says
    whether the base of every job of the period is known; the others only lend their counts.
    """

    used: Floats
    base: Floats
    job_square: Floats
    count_variance: Floats
    is_known: NDArray[np.bool_]


@dataclass(frozen=True)
class Line:
    """Used over base, with its standard error; `noise_ratio`: how much jobs differ, over base."""

    slope: float
    standard_error: float
    noise_ratio: float


def covariance_of_use(periods: Periods, noise_ratio: float) -> Floats:
    """
    Return the covariance of use between counts, in base units squared.

    Tri-diagonal: a wrong count makes one period's use too large and the next one's too small.
    V[k, k] = noise^2 x sum of squared jobs + s[k]^2 + s[k + 1]^2 and V[k, k + 1] = -s[k + 1]^2,
    with s[k]^2 the variance of the count that opens period k.
    """
    counts = periods.count_variance
    covariance: Floats = np.diag(noise_ratio**2 * periods.job_square + counts[:-1] + counts[1:])
    inner = -counts[1:-1]
    return covariance + np.diag(inner, 1) + np.diag(inner, -1)


def draw_line(periods: Periods, noise_ratio: float) -> Line:
    """
    Return the line through the origin for a given noise of jobs.

    Generalised least squares: slope = N' V^-1 U / N' V^-1 N, variance 1 / N' V^-1 N, over the
    periods whose base is known.
    """
    base, weighted, _ = _weigh(periods, noise_ratio)
    precision = float(base @ weighted)
    used = periods.used[periods.is_known]
    return Line(float(weighted @ used) / precision, precision**-0.5, noise_ratio)


def fit_line(periods: Periods) -> Line:
    """
    Return the line with the noise of jobs that fits best (restricted likelihood).

    The noise is looked for between a thousandth and once the base, first in steps of a hundredth,
    then between the neighbours of the best of them.
    """
    coarse = np.linspace(LEAST_NOISE, MOST_NOISE, COARSE_STEPS)
    step = coarse[1] - coarse[0]
    best = _likeliest(periods, coarse)
    low = max(LEAST_NOISE, best - step)
    return draw_line(periods, _likeliest(periods, np.linspace(low, best + step, FINE_STEPS)))


def _likeliest(periods: Periods, noises: Floats) -> float:
    likelihoods = [_log_likelihood(periods, float(noise)) for noise in noises]
    return float(noises[int(np.argmax(likelihoods))])


def _log_likelihood(periods: Periods, noise_ratio: float) -> float:
    base, weighted, covariance = _weigh(periods, noise_ratio)
    precision = float(base @ weighted)
    used = periods.used[periods.is_known]
    miss = used - float(weighted @ used) / precision * base
    log_size = float(np.linalg.slogdet(covariance)[1])
    misfit = float(miss @ np.linalg.solve(covariance, miss))
    return -0.5 * (log_size + float(np.log(precision)) + misfit)


def _weigh(periods: Periods, noise_ratio: float) -> tuple[Floats, Floats, Floats]:
    known = np.flatnonzero(periods.is_known)
    covariance = covariance_of_use(periods, noise_ratio)[np.ix_(known, known)]
    base = periods.base[known]
    weighted = np.linalg.solve(covariance, base).astype(np.float64)
    return base, weighted, covariance
