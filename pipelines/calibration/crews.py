"""Whether vans use more or less than all vans together, beyond what their roofs explain."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from statistics import NormalDist

import numpy as np
import polars as pl

from pipelines.calibration.capped_fit import LEAST_SCALE, MAD_TO_SCATTER, CappedFit, fit_capped
from pipelines.calibration.job_lines import SORT_KEY, read_job_lines, split_by_material
from pipelines.calibration.kinds import FITTED_KINDS
from pipelines.calibration.misses import miss_by_others
from pipelines.calibration.mixed_model import Floats, Positions, solve
from pipelines.calibration.one_step import MOST_SCORE
from pipelines.calibration.pooling import group_jobs, pool
from schemas.frames import shape_of

LEAST_JOBS = 8
"""A van whose jobs count less, the older ones less, is not spoken of."""

INTERVAL_SHARE = 0.8
_SCATTERS = NormalDist().inv_cdf((1 + INTERVAL_SHARE) / 2)


@dataclass(frozen=True)
class _Misses:
    """What each job missed by the others, over base; what it counts, its spread and its van."""

    ratio: Floats
    weight: Floats
    spread: Floats
    crew: pl.Series


def compare_vans(
    use_lines: pl.DataFrame,
    vans: pl.DataFrame,
    job_types: Sequence[str] = (),
    as_of: date | None = None,
) -> pl.DataFrame:
    """
    Say how far each van lies from the mean of all vans compared, material by material.

    A job's miss is what it used more than the fit to the other jobs says of its type and size,
    over base, drawn in to 3 scatters. The misses are pooled by van as ratios are by job type
    (`pool`), so that a van is drawn to the mean of all by as much as its evidence is thin. What
    belongs to a job type that one van alone does stays with the type.

    Args:
        use_lines: as `fit_all` takes them.
        vans: job_ref and crew of the jobs to compare; no row: no van is compared.
        job_types: job types of the fits.
        as_of: the day on which the jobs are looked back on.

    Returns:
        Shaped as `result.crew_miss`, sorted by material and van: over base, above 0 more than the
        mean of all, which counts each job as it counts in the fit. The interval holds 80 in 100
        of what is believed (normal, its variance that of all spreads tried). A van whose jobs
        count less than 8 is left out, and with it a material on which fewer than two are left.

    """
    shape = shape_of("result.crew_miss")
    if vans.is_empty():
        return shape.to_frame()
    rows = [
        {"material": lines["material"][0], **row}
        for lines in split_by_material(use_lines)
        if lines["kind"][0] in FITTED_KINDS
        for row in _compare(_find_misses(lines, vans, job_types, as_of))
    ]
    return pl.DataFrame(rows, schema=shape)


def _find_misses(
    lines: pl.DataFrame, vans: pl.DataFrame, job_types: Sequence[str], as_of: date | None
) -> _Misses:
    ordered = lines.sort(SORT_KEY)
    jobs = read_job_lines(ordered, job_types, as_of)
    crew = ordered.join(vans, on="job_ref", how="left", maintain_order="left")["crew"]
    fit = fit_capped(jobs)
    return _keep(_Misses(_draw_in(fit), jobs.weight, fit.spread, crew))


def _draw_in(fit: CappedFit) -> Floats:
    misses = miss_by_others(fit.misses, fit.leverage) / fit.spread
    scatter = MAD_TO_SCATTER * float(np.median(np.abs(misses - np.median(misses))))
    most = MOST_SCORE * max(scatter, LEAST_SCALE)
    return np.asarray(np.clip(misses, -most, most) * fit.spread)


def _keep(misses: _Misses) -> _Misses:
    """Leave out jobs of vans that are not known or too new."""
    counts = pl.DataFrame({"crew": misses.crew, "weight": misses.weight})
    enough = counts.filter(pl.col("weight").sum().over("crew") >= LEAST_JOBS)["crew"]
    is_kept = misses.crew.is_in(enough.drop_nulls().unique().to_list()).fill_null(value=False)
    at = is_kept.to_numpy()
    return _Misses(
        misses.ratio[at], misses.weight[at], misses.spread[at], misses.crew.filter(is_kept)
    )


def _compare(misses: _Misses) -> Iterator[dict[str, object]]:
    names = sorted(misses.crew.unique())
    if len(names) < 2:  # noqa: PLR2004 - one van can be held against no other
        return
    group = misses.crew.cast(pl.Enum(names)).to_physical().cast(pl.Int64).to_numpy()
    far, doubt = _lie_from_mean(misses, group, len(names))
    counts = np.bincount(group, minlength=len(names))
    for name, count, middle, error in zip(names, counts, far, doubt, strict=True):
        yield {
            "crew": name,
            "job_count": int(count),
            "shrunken_ratio": float(middle),
            "shrunken_low_ratio": float(middle - _SCATTERS * error),
            "shrunken_high_ratio": float(middle + _SCATTERS * error),
        }


def _lie_from_mean(misses: _Misses, group: Positions, count: int) -> tuple[Floats, Floats]:
    """Give each van's distance from the mean of all and its standard error."""
    even = np.ones_like(misses.ratio)
    jobs = group_jobs(even, group, count, misses.weight, misses.spread)
    belief = pool(misses.ratio, jobs).belief
    solved = solve(jobs.design, misses.ratio, jobs.inverted)
    share = np.bincount(group, weights=jobs.design.precision, minlength=count)
    apart = np.eye(count) - share / share.sum()
    far = solved.estimate[:, 1:] @ apart.T
    spread = np.einsum("ij,gjk,ik->gi", apart, solved.inverse[:, 1:, 1:], apart)
    middle = belief @ far
    square = belief @ (solved.variance[:, None] * spread + far**2) - middle**2
    return np.asarray(middle), np.sqrt(np.maximum(square, 0.0))
