"""The fit of one material."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import polars as pl

from pipelines.calibration.job_lines import JobLines, read_job_lines
from pipelines.calibration.misses import miss_at_share, miss_by_others, rank_of_share
from pipelines.calibration.pooling import TYPE_SPREAD_RATIO, Floats, Pooling, pool
from pipelines.errors import QuantityError

LEAST_LINES = 8
THIN_LINES = 20
MOST_MEAN_MISS = 0.5
"""A poured or laid material's miss counts to this share of its base in the mean, and no further."""


@dataclass(frozen=True)
class TypeRate:
    """Loss over base on top of the fixed loss, for one job type. `own_ratio`: None without jobs."""

    job_type: str
    job_count: int
    own_ratio: float | None
    trust_ratio: float
    pooled_ratio: float


@dataclass(frozen=True)
class MaterialFit:
    """
    What the jobs say of a material: used = base + fixed_loss + ratio x base.

    `fixed_loss` and `reference_quantity` are in base units, ratios over base. The error ratios
    are misses over base: what `load_share` of jobs stays within, one job in ten falls below,
    one in ten goes beyond, and the mean.
    """

    material: str
    base_unit: str
    line_count: int
    type_count: int
    reference_quantity: float
    fixed_loss: float
    mean_ratio: float
    error_ratio: float
    low_error_ratio: float
    high_error_ratio: float
    mean_error_ratio: float
    load_share: float
    is_thin: bool
    is_largest_miss: bool
    is_fixed_loss_refused: bool
    note: str | None
    rates: tuple[TypeRate, ...]


@dataclass(frozen=True)
class NoFit:
    """A material on which too few jobs speak."""

    material: str
    base_unit: str
    line_count: int
    type_count: int
    load_share: float
    reason: str


@dataclass(frozen=True)
class _Solved:
    """A pooling of the ratios less their median."""

    pooling: Pooling
    median_ratio: float
    misses: Floats
    is_fixed_loss_refused: bool


def fit_material(
    lines: pl.DataFrame, load_share: float, job_types: Sequence[str] = ()
) -> MaterialFit | NoFit:
    """
    Fit a fixed loss and a rate by job type to the jobs of one material.

    used / base - 1 = rate of the type + fixed loss / base + scatter, where the scatter of the
    use grows with base. A fixed loss below 0 is refused: the loss is then taken as a rate alone.

    Args:
        lines: one row per job: material, kind, base_unit, job_ref, job_type, completed_on,
            base_quantity, used_quantity; one material, in any order.
        load_share: share of jobs that shall not run short, between 0 and 1.
        job_types: job types that get a rate even without a job.

    Raises:
        QuantityError: a load share outside 0 to 1, a base that is not above 0, a use that is
            not a figure.

    """
    if not 0 < load_share < 1:
        raise QuantityError(f"load_share: {load_share} is not allowed; it lies between 0 and 1")
    jobs = read_job_lines(lines, job_types)
    if jobs.count < LEAST_LINES:
        return NoFit(
            material=jobs.material,
            base_unit=jobs.base_unit,
            line_count=jobs.count,
            type_count=_count_types(jobs),
            load_share=load_share,
            reason=f"fewer than {LEAST_LINES} jobs",
        )
    return _describe(jobs, _solve(jobs), load_share)


def _solve(jobs: JobLines) -> _Solved:
    median = float(np.median(jobs.ratio))
    centred = jobs.ratio - median
    pooling = _pool(jobs, centred, jobs.size)
    refused = pooling.slope < 0
    if refused:
        pooling = _pool(jobs, centred, np.zeros_like(jobs.size))
    return _Solved(pooling, median, centred - pooling.fitted, refused)


def _pool(jobs: JobLines, centred: Floats, size: Floats) -> Pooling:
    return pool(
        centred, size, jobs.group, group_count=len(jobs.types), spread_ratio=TYPE_SPREAD_RATIO
    )


def _describe(jobs: JobLines, solved: _Solved, load_share: float) -> MaterialFit:
    by_others = miss_by_others(solved.misses, solved.pooling)
    is_largest = rank_of_share(jobs.count, load_share) > jobs.count
    return MaterialFit(
        material=jobs.material,
        base_unit=jobs.base_unit,
        line_count=jobs.count,
        type_count=_count_types(jobs),
        reference_quantity=jobs.reference_quantity,
        fixed_loss=solved.pooling.slope * jobs.reference_quantity,
        mean_ratio=solved.median_ratio + solved.pooling.mean,
        error_ratio=miss_at_share(by_others, load_share),
        low_error_ratio=miss_at_share(by_others, 0.1),
        high_error_ratio=miss_at_share(by_others, 0.9),
        mean_error_ratio=_mean_miss(jobs, solved.misses),
        load_share=load_share,
        is_thin=jobs.count <= THIN_LINES,
        is_largest_miss=is_largest,
        is_fixed_loss_refused=solved.is_fixed_loss_refused,
        note=_write_note(jobs.count, solved, is_largest=is_largest),
        rates=_rates(jobs, solved),
    )


def _count_types(jobs: JobLines) -> int:
    return sum(count > 0 for count in jobs.type_counts)


def _mean_miss(jobs: JobLines, misses: Floats) -> float:
    most = np.inf if jobs.is_whole_piece else MOST_MEAN_MISS
    return float(np.clip(misses, -most, most).mean())


def _rates(jobs: JobLines, solved: _Solved) -> tuple[TypeRate, ...]:
    own = solved.median_ratio + solved.pooling.own
    pooled = solved.median_ratio + solved.pooling.rate
    return tuple(
        TypeRate(
            job_type=jobs.types[at],
            job_count=count,
            own_ratio=float(own[at]) if count else None,
            trust_ratio=float(solved.pooling.trust[at]),
            pooled_ratio=float(pooled[at]),
        )
        for at, count in enumerate(jobs.type_counts)
    )


def _write_note(job_count: int, solved: _Solved, *, is_largest: bool) -> str | None:
    said = {
        f"thin: {job_count} jobs": job_count <= THIN_LINES,
        "no loss per job could be told: all of it is taken by size": solved.is_fixed_loss_refused,
        "too few jobs for the share asked: the worst of them is taken": is_largest,
    }
    return "; ".join(words for words, is_so in said.items() if is_so) or None
