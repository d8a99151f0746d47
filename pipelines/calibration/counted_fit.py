"""The load of what is cut or counted: on a base between two plans, ending on whole pieces."""

from collections.abc import Iterator, Sequence
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

TIES_WITHIN = 0.03
"""A form with more figures must come nearer to the history by this share to be taken."""

ROUNDING_DIGITS = 10
MORE_RATIOS = tuple(np.round(np.arange(0, 0.31, 0.05), 2).tolist())

ON_NEED, ONE_RATIO, BY_TYPE, LINEAR = (
    "on the bare need", "one ratio", "charge and a ratio", "linear quantile",
)  # fmt: skip


@dataclass(frozen=True)
class CountedFit:
    """
    Charge and load of a material on one base, best + blend_ratio x (no re-use - best).

    charged: as `fit` says. loaded = base + fixed loss + ratio of the type x base, the `ratios` in
    the order of the fit's rates, none below what is charged; then `piece_shift` rounds it to whole
    pieces, None: not rounded. `blend_ratio` None: the base is the bare need. `loss`: pinball loss
    over the best plan on the history.
    """

    form: str
    fit: MaterialFit
    blend_ratio: float | None
    ratios: Floats
    piece_shift: float | None
    loss: float


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

    def lose(self, loaded: Floats) -> float:
        lost = pinball(self.jobs.used, loaded, self.scale, self.jobs.weight, self.load_share)
        return round(lost, ROUNDING_DIGITS)

    def shift(self, loaded: Floats) -> tuple[float, float | None]:
        """Return the least loss and the shift that it is reached at, the plainest of equals."""
        piece = self.piece_quantity
        if piece is None:
            return self.lose(loaded), None
        tried = [(self.lose(round_to_pieces(loaded, piece, shift)), shift) for shift in SHIFTS]
        return min(tried, key=lambda each: each[0])


def fit_counted(
    lines: pl.DataFrame, load_share: float, job_types: Sequence[str] = (), as_of: date | None = None
) -> CountedFit | NoFit:
    """
    Fit the charge and the load of one cut or counted material.

    One k of `BLENDS` makes the base: that on which the plainest load, one ratio or one count of
    pieces on top, comes nearest to what jobs used. What is charged on it says `fit_material`. The
    load is one ratio for all types, else the charge and one ratio more, else a pooled linear
    quantile, in whole pieces where the kind is used so: the first of these that none behind it
    beats by more than `TIES_WITHIN`. Mat keeps its bare need as its base where a job has no plan
    or where the fit on it is nearer.

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
    planned = are_planned(lines)
    ordered = take_plans(lines).sort(SORT_KEY)
    found: list[CountedFit] = [*(_fit_forms(ordered, asked) if planned else ())]
    if not planned or ordered["kind"][0] == "mat":
        found.insert(0, _fit_on_need(ordered, on_need, asked))
    best = found[0]
    for form in found[1:]:
        if form.loss < (1 - TIES_WITHIN) * best.loss:
            best = form
    return best


def _fit_on_need(ordered: pl.DataFrame, fit: MaterialFit, asked: _Asked) -> CountedFit:
    ratios = np.array([rate.pooled_ratio for rate in fit.rates]) + fit.error_ratio
    return _load(ON_NEED, _lay_history(ordered, asked), fit, None, ratios)


def _fit_forms(ordered: pl.DataFrame, asked: _Asked) -> Iterator[CountedFit]:
    ratio = _choose_blend(ordered, asked)
    based = _put_blend(ordered, ratio)
    history = _lay_history(based, asked)
    fit = asked.fit(based)
    yield from _load_by_ratios(history, fit, ratio)
    yield _load_by_programme(history, based, ratio, asked)


def _put_blend(ordered: pl.DataFrame, ratio: float) -> pl.DataFrame:
    best, no_reuse = (pl.col(name) for name in PLANS)
    return ordered.with_columns(base_quantity=blend(best, no_reuse, pl.lit(ratio)))


def _lay_history(based: pl.DataFrame, asked: _Asked) -> _History:
    rounded = based["kind"][0] in ROUNDED_KINDS and "piece_quantity" in based.columns
    best = pl.coalesce("best_quantity", "base_quantity")
    return _History(
        jobs=read_job_lines(based, asked.job_types, asked.as_of),
        scale=based.select(best).to_series().to_numpy(),
        piece_quantity=based["piece_quantity"][0] if rounded else None,
        load_share=asked.load_share,
    )


def _choose_blend(ordered: pl.DataFrame, asked: _Asked) -> float:
    """Return the share at which the plainest load loses least, the smallest of equals."""
    losses = [_lose_plainly(_lay_history(_put_blend(ordered, k), asked)) for k in BLENDS]
    return BLENDS[int(np.argmin(losses))]


def _lose_plainly(history: _History) -> float:
    jobs, piece = history.jobs, history.piece_quantity
    if piece is None:
        ratio = _ratio_at_share(jobs.ratio, history)
        return history.lose(jobs.base * (1 + ratio))
    return min(history.lose(round_to_pieces(jobs.base, piece, shift)) for shift in PAIR_SHIFTS)


def _ratio_at_share(ratios: Floats, history: _History) -> float:
    return miss_at_share(ratios, history.jobs.weight, history.load_share)


def _load_by_ratios(
    history: _History, fit: MaterialFit, blend_ratio: float
) -> Iterator[CountedFit]:
    jobs = history.jobs
    one = _ratio_at_share(jobs.ratio - fit.fixed_loss / jobs.base, history)
    yield _load(ONE_RATIO, history, fit, blend_ratio, np.full(len(fit.rates), one))
    charged = _charge(fit)
    more = (
        MORE_RATIOS
        if history.piece_quantity is not None
        else (
            _ratio_at_share(jobs.ratio - fit.fixed_loss / jobs.base - charged[jobs.group], history),
        )
    )
    tried = [_load(BY_TYPE, history, fit, blend_ratio, charged + each) for each in more]
    yield min(tried, key=lambda each: each.loss)


def _load_by_programme(
    history: _History, based: pl.DataFrame, blend_ratio: float, asked: _Asked
) -> CountedFit:
    jobs = history.jobs
    newest = slice(-MOST_JOBS, None)
    found = fit_quantile(
        QuantileJobs(
            jobs.base[newest],
            jobs.used[newest],
            jobs.group[newest],
            len(jobs.types),
            jobs.weight[newest],
        ),
        asked.load_share,
    )
    fit = asked.fit(based, found.fixed_loss)
    return _load(LINEAR, history, fit, blend_ratio, found.ratio + found.of_type)


def _charge(fit: MaterialFit) -> Floats:
    return np.array([rate.pooled_ratio for rate in fit.rates]) + fit.mean_error_ratio


def _load(
    form: str, history: _History, fit: MaterialFit, blend_ratio: float | None, ratios: Floats
) -> CountedFit:
    kept = np.maximum(ratios, _charge(fit))
    jobs = history.jobs
    loss, shift = history.shift(jobs.base * (1 + kept[jobs.group]) + fit.fixed_loss)
    return CountedFit(form, fit, blend_ratio, kept, shift, loss)
