"""Whether what is poured takes more in the months that the firm calls cold, tried on past jobs."""

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import numpy.typing as npt
import polars as pl

from pipelines.allowances.guard import LEAST_LINES, MOST_LINES
from pipelines.allowances.held_out import list_lines_before
from pipelines.calibration.drift import MIND_LESS, fade_before
from pipelines.calibration.job_lines import SORT_KEY
from pipelines.calibration.kinds import POURED_KINDS
from pipelines.calibration.misses import miss_at_share
from pipelines.calibration.mixed_model import Floats
from pipelines.calibration.one_step import Held, hold_against_before
from schemas.frames import shape_of

LEAST_JOBS = 8
"""Cold and warm jobs that count less than this, the older ones less, say nothing of the season."""

NO_DIFFERENCE = "no difference between cold and warm months that the jobs can show"


@dataclass(frozen=True)
class _Asked:
    """What the lines of every material are asked with."""

    cold_months: Collection[int]
    drift: pl.DataFrame
    load_share: float
    job_types: Sequence[str]


@dataclass(frozen=True)
class _Term:
    """What a cold job takes more than a warm one, over base; the share of cold jobs by weight."""

    extra_ratio: float
    cold_share: float

    def move(self, is_cold: npt.NDArray[np.bool_]) -> Floats:
        """Give what each job takes more than the mean of all by its month."""
        return np.asarray(self.extra_ratio * (is_cold - self.cold_share))


def try_cold_months(
    use_lines: pl.DataFrame,
    cold_months: Collection[int],
    drift: pl.DataFrame,
    load_share: float,
    job_types: Sequence[str],
) -> pl.DataFrame:
    """
    Say of each material that is poured whether the cold months take more than the warm.

    Each of the last 120 jobs is loaded from the jobs before its month, with what cold jobs had
    taken more by then and without. The difference is told only where the load with it came
    nearer, in mean pinball, by more than one standard error on 20 jobs or more.

    Args:
        use_lines: as `fit_all` takes them.
        cold_months: months of the year, 1 to 12; none: nothing is tried.
        drift: as `list_lines_before` takes it.
        load_share: share of jobs that shall not run short, between 0 and 1.
        job_types: job types of the fits.

    Returns:
        Shaped as `result.cold_month`, sorted by material: ratios over the base of a job of usual
        size, null where too few cold or warm jobs speak.

    """
    shape = shape_of("result.cold_month")
    if not cold_months:
        return shape.to_frame()
    asked = _Asked(cold_months, drift, load_share, job_types)
    poured = use_lines.filter(pl.col("kind").is_in(POURED_KINDS))
    rows = [
        _row(material, lines.sort(SORT_KEY), asked)
        for (material,), lines in sorted(poured.partition_by("material", as_dict=True).items())
    ]
    return pl.DataFrame(rows, schema=shape)


def _row(material: str, lines: pl.DataFrame, asked: _Asked) -> dict[str, Any]:
    is_cold = _tell_cold(lines, asked.cold_months)
    faded = fade_before(lines, asked.drift)
    term = _find_term(hold_against_before(faded, faded, asked.job_types), is_cold)
    gains = np.array(list(_list_gains(lines, asked)))
    gain, error = _weigh(gains)
    is_told = term is not None and gain is not None and error is not None and gain > error
    return {
        "material": material,
        "cold_job_count": int(is_cold.sum()),
        "warm_job_count": int((~is_cold).sum()),
        "cold_ratio": None if term is None else term.extra_ratio,
        "tried_job_count": len(gains),
        "gain_ratio": gain,
        "gain_error_ratio": error,
        "is_told": is_told,
        "sentence": _say(material, term if is_told else None),
    }


def _tell_cold(lines: pl.DataFrame, cold_months: Collection[int]) -> npt.NDArray[np.bool_]:
    months = lines["completed_on"].dt.month()
    return np.isin(months.to_numpy(), sorted(cold_months))


def _find_term(held: Held, is_cold: npt.NDArray[np.bool_]) -> _Term | None:
    weight = held.known.weight
    cold, warm = float(weight[is_cold].sum()), float(weight[~is_cold].sum())
    if min(cold, warm) < LEAST_JOBS:
        return None
    drawn_in = held.cap(held.past)
    apart = np.average(drawn_in[is_cold], weights=weight[is_cold]) - np.average(
        drawn_in[~is_cold], weights=weight[~is_cold]
    )
    return _Term(float(apart), cold / (cold + warm))


def _list_gains(lines: pl.DataFrame, asked: _Asked) -> Iterator[float]:
    """Give, for each of the last jobs that can be tried, how much nearer the term brought it."""
    last = lines.tail(MOST_LINES).with_columns(month=pl.col("completed_on").dt.month_start())
    for (start,), jobs in last.group_by("month", maintain_order=True):
        before = list_lines_before(lines, asked.drift, start)
        if before.height < 2 * LEAST_JOBS:
            continue
        held = hold_against_before(before, jobs, asked.job_types)
        was_cold, is_cold = (_tell_cold(part, asked.cold_months) for part in (before, jobs))
        if (term := _find_term(held, was_cold)) is not None:
            gains = _gain(held, term.move(was_cold), term.move(is_cold), asked.load_share)
            yield from gains.tolist()


def _gain(held: Held, moved_past: Floats, moved_ahead: Floats, share: float) -> Floats:
    weight = held.known.weight
    plain = miss_at_share(held.past, weight, share)
    moved = moved_ahead + miss_at_share(held.past - moved_past, weight, share)
    without, with_term = (_pinball(held.ahead - load, share) for load in (plain, moved))
    return np.asarray((without - with_term) * held.spread)


def _pinball(short: Floats, share: float) -> Floats:
    return np.maximum(share * short, (share - 1) * short)


def _weigh(gains: Floats) -> tuple[float | None, float | None]:
    if len(gains) < LEAST_LINES:
        return None, None
    return float(gains.mean()), float(gains.std(ddof=1) / np.sqrt(len(gains)))


def _say(material: str, term: _Term | None) -> str:
    name = material[:1].upper() + material[1:]
    if term is None:
        return f"{name}: {NO_DIFFERENCE}."
    hundredths = f"{abs(term.extra_ratio):.0%}".removesuffix("%")
    more = "more" if term.extra_ratio >= 0 else "less"
    said = f"{name} takes about {hundredths} in 100 of the need {more} in cold months than in warm."
    return said if more == "more" else f"{said} {MIND_LESS}"
