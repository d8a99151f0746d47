"""The load of what is cut or counted: on a base between two plans, ending on whole pieces."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from typing import cast

import numpy as np
import polars as pl

from pipelines.calibration.blended_base import BLENDS, PLANS, are_planned, blend, take_plans
from pipelines.calibration.job_lines import SORT_KEY, JobLines, read_job_lines
from pipelines.calibration.kinds import ROUNDED_KINDS
from pipelines.calibration.load_quantile import MOST_JOBS, QuantileJobs, fit_quantile
from pipelines.calibration.material_fit import MaterialFit, NoFit, fit_material
from pipelines.calibration.misses import miss_at_share
from pipelines.calibration.mixed_model import Floats
from pipelines.calibration.whole_pieces import PAIR_SHIFTS, SHIFTS, pinball, round_to_pieces

ON_NEED, ABOVE_CHARGE, LINEAR = "on the bare need", "a ratio above the charge", "linear quantile"

ABOVE_CHARGE_KINDS = frozenset({"board", "corner piece"})
"""
Kinds whose load is one ratio above the charge. There a linear quantile came no nearer to invented
jobs, and of two forms that tie the plainer stands; which, is said here once and not learned firm by
firm, as a choice among forms on a short history costs more than it gains.
"""

MORE_RATIOS = tuple(np.round(np.arange(0, 0.31, 0.05), 2).tolist())
ROUNDING_DIGITS = 10
"""Losses that differ by less are the same loss."""


@dataclass(frozen=True)
class CountedFit:
    """
    Charge and load of a material on one base, best + blend_ratio x (no re-use - best).

    charged: as `fit` says. loaded = base + fixed loss + ratio of the type x base, the `ratios` in
    the order of the fit's rates, none below what is charged; then `piece_shift` rounds it to whole
    pieces, None: not rounded. `blend_ratio` None: the base is the bare need.
    """

    form: str
    fit: MaterialFit
    blend_ratio: float | None
    ratios: Floats
    piece_shift: float | None


@dataclass(frozen=True)
class _Asked:
    """What is asked of each material alike."""

    load_share: float
    job_types: Sequence[str]
    as_of: date | None

    def fit(self, based: pl.DataFrame, fixed_loss: float | None = None) -> MaterialFit:
        """Fit lines of which enough are there: whatever the base, they are as many."""
        found = fit_material(
            based, self.load_share, self.job_types, self.as_of, fixed_loss=fixed_loss
        )
        return cast("MaterialFit", found)


@dataclass(frozen=True)
class _History:
    """The jobs of a material on one base; `scale` is the best plan of each, whatever the base."""

    jobs: JobLines
    scale: Floats
    piece_quantity: float | None
    load_share: float

    def lose_each(self, loaded: Floats) -> Floats:
        return pinball(self.jobs.used, loaded, self.scale, self.load_share)

    def lose(self, loaded: Floats) -> float:
        lost = np.average(self.lose_each(loaded), weights=self.jobs.weight)
        return round(float(lost), ROUNDING_DIGITS)

    def shift(self, loaded: Floats) -> tuple[float, float | None]:
        """Return the least loss and the shift that it is reached at, the plainest of equals."""
        piece = self.piece_quantity
        if piece is None:
            return self.lose(loaded), None
        tried = [(self.lose(round_to_pieces(loaded, piece, shift)), shift) for shift in SHIFTS]
        return min(tried, key=lambda each: each[0])

    def ratio_at_share(self, ratios: Floats) -> float:
        return miss_at_share(ratios, self.jobs.weight, self.load_share)


def fit_counted(
    lines: pl.DataFrame, load_share: float, job_types: Sequence[str] = (), as_of: date | None = None
) -> CountedFit | NoFit:
    """
    Fit the charge and the load of one cut or counted material.

    One k of `BLENDS` makes the base: that on which the plainest load, one ratio or one count of
    pieces on top, comes nearest to what jobs used. The load is a pooled linear quantile, or one
    ratio above the charge for `ABOVE_CHARGE_KINDS`, in whole pieces where the kind is used so.
    Charge and load share one loss per job: the charge is `fit_material`, at the load's loss per
    job where that is fitted. Where a cut job has no plan, the base stays as it is.

    Args:
        lines: as `fit_material` takes them, with best_quantity, no_reuse_quantity, both also
            quoted_, area_m2, quoted_area_m2, and piece_quantity; `take_plans` says what stands
            where these columns are missing.
        load_share: share of jobs that shall not run short, between 0 and 1.
        job_types: job types that get a figure even without a job.
        as_of: the day on which the jobs are looked back on; None: that of the newest job.

    Raises:
        QuantityError: as `fit_material` does.

    """
    asked = _Asked(load_share, job_types, as_of)
    on_need = fit_material(lines, load_share, job_types, as_of)
    if isinstance(on_need, NoFit):
        return on_need
    ordered = take_plans(lines).sort(SORT_KEY)
    if not are_planned(lines):
        ratios = _pooled(on_need) + on_need.error_ratio
        return _end_on_pieces(ON_NEED, _lay_history(ordered, asked), on_need, None, ratios)
    ratio = _choose_blend(ordered.tail(MOST_JOBS), asked)
    based = _put_blend(ordered, ratio)
    history = _lay_history(based, asked)
    if ordered["kind"][0] in ABOVE_CHARGE_KINDS:
        return _load_above_charge(history, asked.fit(based), ratio)
    return _load_by_programme(history, based, ratio, asked)


def _put_blend(ordered: pl.DataFrame, ratio: float) -> pl.DataFrame:
    best, no_reuse = (pl.col(name) for name in PLANS)
    return ordered.with_columns(base_quantity=blend(best, no_reuse, pl.lit(ratio)))


def _lay_history(based: pl.DataFrame, asked: _Asked) -> _History:
    is_rounded = based["kind"][0] in ROUNDED_KINDS and "piece_quantity" in based.columns
    best = pl.coalesce("best_quantity", "base_quantity")
    return _History(
        jobs=read_job_lines(based, asked.job_types, asked.as_of),
        scale=based.select(best).to_series().to_numpy(),
        piece_quantity=based["piece_quantity"][0] if is_rounded else None,
        load_share=asked.load_share,
    )


def _choose_blend(ordered: pl.DataFrame, asked: _Asked) -> float:
    """
    Return the smallest share that ties with the one at which the plainest load loses least.

    Two shares tie where their losses differ, job by job, by no more than one standard error of
    the difference: a share that wanders from month to month costs more than it gains.
    """
    history = _lay_history(ordered, asked)
    best, no_reuse = (ordered[name].to_numpy() for name in PLANS)
    losses = [_lose_plainly(history, best + k * (no_reuse - best)) for k in BLENDS]
    weight = history.jobs.weight
    least = int(np.argmin([float(np.average(each, weights=weight)) for each in losses]))
    return next(
        k for k, each in zip(BLENDS, losses, strict=True) if _tie(each - losses[least], weight)
    )


def _tie(more: Floats, weight: Floats) -> bool:
    mean = float(np.average(more, weights=weight))
    error = float(np.sqrt((weight**2 * (more - mean) ** 2).sum()) / weight.sum())
    return mean <= error + 10.0**-ROUNDING_DIGITS


def _lose_plainly(history: _History, base: Floats) -> Floats:
    """Return the loss of each job under one ratio, or one count of pieces, on top of `base`."""
    piece = history.piece_quantity
    if piece is None:
        over = history.ratio_at_share(history.jobs.used / base - 1)
        return history.lose_each(base * (1 + over))
    tried = [history.lose_each(round_to_pieces(base, piece, shift)) for shift in PAIR_SHIFTS]
    return min(tried, key=lambda each: float(np.average(each, weights=history.jobs.weight)))


def _load_above_charge(history: _History, fit: MaterialFit, blend_ratio: float) -> CountedFit:
    jobs = history.jobs
    charge = _charge(fit)
    more = MORE_RATIOS
    if history.piece_quantity is None:
        beyond = jobs.ratio - fit.fixed_loss / jobs.base - charge[jobs.group]
        more = (history.ratio_at_share(beyond),)
    loaded = [jobs.base * (1 + charge[jobs.group] + each) + fit.fixed_loss for each in more]
    least = int(np.argmin([history.shift(each)[0] for each in loaded]))
    return _end_on_pieces(ABOVE_CHARGE, history, fit, blend_ratio, charge + more[least])


def _load_by_programme(
    history: _History, based: pl.DataFrame, blend_ratio: float, asked: _Asked
) -> CountedFit:
    jobs, newest = history.jobs, slice(-MOST_JOBS, None)
    asked_of = QuantileJobs(
        base=jobs.base[newest],
        used=jobs.used[newest],
        group=jobs.group[newest],
        group_count=len(jobs.types),
        weight=jobs.weight[newest],
    )
    found = fit_quantile(asked_of, asked.load_share)
    fit = asked.fit(based, found.fixed_loss)
    return _end_on_pieces(LINEAR, history, fit, blend_ratio, found.ratio + found.of_type)


def _pooled(fit: MaterialFit) -> Floats:
    return np.array([rate.pooled_ratio for rate in fit.rates])


def _charge(fit: MaterialFit) -> Floats:
    return _pooled(fit) + fit.mean_error_ratio


def _end_on_pieces(
    form: str, history: _History, fit: MaterialFit, blend_ratio: float | None, ratios: Floats
) -> CountedFit:
    kept = np.maximum(ratios, _charge(fit))
    jobs = history.jobs
    _, shift = history.shift(jobs.base * (1 + kept[jobs.group]) + fit.fixed_loss)
    return CountedFit(form, fit, blend_ratio, kept, shift)
