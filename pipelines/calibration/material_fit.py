"""The fit of one material."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
import polars as pl

from pipelines.calibration.capped_fit import CappedFit, fit_capped
from pipelines.calibration.job_lines import JobLines, read_job_lines
from pipelines.calibration.misses import miss_at_share, miss_by_others, rank_of_share
from pipelines.calibration.mixed_model import Floats
from pipelines.calibration.pooling import SPREAD_RATIOS
from pipelines.errors import QuantityError

LEAST_LINES = 8
THIN_LINES = 20
MOST_MEAN_MISS = 0.5
"""A poured or laid material's miss counts to this share of its base in the mean, and no further."""


@dataclass(frozen=True)
class TypeRate:
    """
    Loss over base on top of the fixed loss, for one job type.

    pooled = trust x own + (1 - trust) x others. `own_ratio`: None without jobs.
    """

    job_type: str
    job_count: int
    effective_job_count: float
    own_ratio: float | None
    trust_ratio: float
    others_ratio: float
    pooled_ratio: float


@dataclass(frozen=True)
class MaterialFit:
    """
    What the jobs say of a material: used = base + fixed_loss + ratio x base.

    `fixed_loss` and `reference_quantity` are in base units, ratios over base. The error ratios
    are misses over base by the fit to the other jobs: what `load_share` of jobs stays within, one
    job in ten falls below, one in ten goes beyond, and the mean by the fit itself. The one in ten
    stand for a job of usual size; times sqrt(1 - s + s (usual / base)^2) they stand for any,
    s = `size_spread_ratio`. Jobs count by age: `effective_job_count` is what they count together.
    """

    material: str
    base_unit: str
    line_count: int
    effective_job_count: float
    capped_count: int
    type_count: int
    reference_quantity: float
    fixed_loss: float
    mean_ratio: float
    error_ratio: float
    low_error_ratio: float
    high_error_ratio: float
    mean_error_ratio: float
    size_spread_ratio: float
    type_spread_ratio: float
    likeliest_spread_ratio: float
    scatter_ratio: float
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
    effective_job_count: float
    type_count: int
    load_share: float
    reason: str


def fit_material(
    lines: pl.DataFrame, load_share: float, job_types: Sequence[str] = (), as_of: date | None = None
) -> MaterialFit | NoFit:
    """
    Fit a fixed loss and a rate by job type to the jobs of one material.

    used / base - 1 = rate of the type + fixed loss / base + scatter, where the scatter of the
    use grows with base. A fixed loss below 0 is refused: the loss is then taken as a rate alone.
    Wild jobs are capped in the fit, save of what is used in whole pieces, but not in the misses;
    old jobs count less.

    Args:
        lines: one row per job: material, kind, base_unit, job_ref, job_type, completed_on,
            base_quantity, used_quantity; one material, in any order.
        load_share: share of jobs that shall not run short, between 0 and 1.
        job_types: job types that get a rate even without a job.
        as_of: the day on which the jobs are looked back on; None: that of the newest job.

    Raises:
        QuantityError: a load share outside 0 to 1, a base that is not above 0, a use that is
            not a figure.

    """
    if not 0 < load_share < 1:
        raise QuantityError(f"load_share: {load_share} is not allowed; it lies between 0 and 1")
    jobs = read_job_lines(lines, job_types, as_of)
    if jobs.effective_count < LEAST_LINES:
        return NoFit(
            material=jobs.material,
            base_unit=jobs.base_unit,
            line_count=jobs.count,
            effective_job_count=jobs.effective_count,
            type_count=_count_types(jobs),
            load_share=load_share,
            reason=_say_too_few(jobs),
        )
    return _describe(jobs, fit_capped(jobs), load_share)


def _say_too_few(jobs: JobLines) -> str:
    if jobs.count < LEAST_LINES:
        return f"fewer than {LEAST_LINES} jobs"
    return f"fewer than {LEAST_LINES} jobs, as old ones count less"


def _describe(jobs: JobLines, solved: CappedFit, load_share: float) -> MaterialFit:
    by_others = miss_by_others(solved.misses, solved.leverage)
    scaled = by_others / solved.spread
    rates = _rates(jobs, solved)
    is_largest = rank_of_share(jobs.count, load_share) > jobs.count
    return MaterialFit(
        material=jobs.material,
        base_unit=jobs.base_unit,
        line_count=jobs.count,
        effective_job_count=jobs.effective_count,
        capped_count=solved.capped_count,
        type_count=sum(rate.job_count > 0 for rate in rates),
        reference_quantity=jobs.reference_quantity,
        fixed_loss=solved.pooling.slope * jobs.reference_quantity,
        mean_ratio=solved.median_ratio + solved.pooling.mean,
        error_ratio=miss_at_share(by_others, jobs.weight, load_share),
        low_error_ratio=miss_at_share(scaled, jobs.weight, 0.1),
        high_error_ratio=miss_at_share(scaled, jobs.weight, 0.9),
        mean_error_ratio=_mean_miss(jobs, solved.misses),
        size_spread_ratio=solved.size_spread_ratio,
        type_spread_ratio=float(solved.pooling.belief @ SPREAD_RATIOS),
        likeliest_spread_ratio=solved.likeliest_spread_ratio,
        scatter_ratio=solved.pooling.variance**0.5,
        load_share=load_share,
        is_thin=jobs.effective_count <= THIN_LINES,
        is_largest_miss=is_largest,
        is_fixed_loss_refused=solved.is_fixed_loss_refused,
        note=_write_note(jobs, solved, is_largest=is_largest),
        rates=rates,
    )


def _count_types(jobs: JobLines) -> int:
    return sum(count > 0 for count in jobs.type_counts)


def _mean_miss(jobs: JobLines, misses: Floats) -> float:
    most = np.inf if jobs.is_whole_piece else MOST_MEAN_MISS
    return float(np.average(np.clip(misses, -most, most), weights=jobs.weight))


def _rates(jobs: JobLines, solved: CappedFit) -> tuple[TypeRate, ...]:
    own = solved.median_ratio + solved.pooling.own
    pooled = solved.median_ratio + solved.pooling.rate
    others = solved.median_ratio + solved.pooling.others
    return tuple(
        TypeRate(
            job_type=jobs.types[at],
            job_count=count,
            effective_job_count=float(solved.pooling.group_weight[at]),
            own_ratio=float(own[at]) if count else None,
            trust_ratio=float(solved.pooling.trust[at]),
            others_ratio=float(others[at]),
            pooled_ratio=float(pooled[at]),
        )
        for at, count in enumerate(jobs.type_counts)
    )


def _write_note(jobs: JobLines, solved: CappedFit, *, is_largest: bool) -> str | None:
    said = {
        f"thin: {jobs.count} jobs": jobs.effective_count <= THIN_LINES,
        "no loss per job could be told: all of it is taken by size": solved.is_fixed_loss_refused,
        "too few jobs for the share asked: the worst of them is taken": is_largest,
    }
    return "; ".join(words for words, is_so in said.items() if is_so) or None
