"""What each job of a month missed by the fit to the jobs before it."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import polars as pl

from pipelines.calibration.capped_fit import LEAST_SCALE, MAD_TO_SCATTER, fit_capped, spread_at
from pipelines.calibration.job_lines import SORT_KEY, JobLines, read_job_lines
from pipelines.calibration.misses import miss_by_others
from pipelines.calibration.mixed_model import Floats

MOST_SCORE = 3.0
"""A wild job is one job: it counts for no more than this many scatters."""


@dataclass(frozen=True)
class OneStep:
    """
    One figure a job in each, jobs in the order of `SORT_KEY`.

    `misses` are over base, wild ones drawn in to 3 scatters of the jobs before. `scores` are the
    same in scatters, then centred and scaled as those of the jobs before are.
    """

    misses: Floats
    scores: Floats


@dataclass(frozen=True)
class Held:
    """
    Later jobs held against the fit to the jobs before, in the order of `SORT_KEY`.

    `past`: what the jobs before, `known`, missed by one another; `ahead`: what the later ones
    missed. Both are over base and as on a job of usual size: times `spread` they are the later
    jobs' own.
    """

    known: JobLines
    past: Floats
    ahead: Floats
    spread: Floats

    @property
    def scale(self) -> float:
        """Give the scatter of the jobs before."""
        scatter = MAD_TO_SCATTER * float(np.median(np.abs(self.past - np.median(self.past))))
        return max(scatter, LEAST_SCALE)

    def cap(self, misses: Floats) -> Floats:
        """Draw wild misses in to 3 scatters of the jobs before."""
        most = MOST_SCORE * self.scale
        return np.asarray(np.clip(misses, -most, most))


def miss_one_step(before: pl.DataFrame, jobs: pl.DataFrame, job_types: Sequence[str]) -> OneStep:
    """
    Hold jobs against the fit to the jobs before them.

    Args:
        before: lines of one material, as `fit_material` takes them.
        jobs: later lines of the same.
        job_types: the job types of both.

    """
    held = hold_against_before(before, jobs, job_types)
    capped, past = (held.cap(misses) / held.scale for misses in (held.ahead, held.past))
    return OneStep(capped * held.scale * held.spread, _score(capped, past, held.known))


def hold_against_before(before: pl.DataFrame, jobs: pl.DataFrame, job_types: Sequence[str]) -> Held:
    """Fit the jobs before and hold later ones against the fit; arguments as `miss_one_step`'s."""
    known = read_job_lines(before, job_types, None)
    asked = read_job_lines(jobs, job_types, None)
    fit = fit_capped(known)
    size = known.reference_quantity / jobs.sort(SORT_KEY)["base_quantity"].to_numpy()
    fitted = fit.median_ratio + fit.pooling.rate[asked.group] + fit.pooling.slope * size
    spread = spread_at(size, fit.size_spread_ratio)
    past = miss_by_others(fit.misses, fit.leverage) / fit.spread
    return Held(known, past, (asked.ratio - fitted) / spread, spread)


def _score(capped: Floats, past: Floats, known: JobLines) -> Floats:
    mean = float(np.average(past, weights=known.weight))
    spread = float(np.sqrt(np.average((past - mean) ** 2, weights=known.weight)))
    return np.asarray((capped - mean) / spread) if spread > 0 else np.zeros_like(capped)
