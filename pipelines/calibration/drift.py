"""Whether the use of a material has been creeping up or going down, job after job."""

from collections.abc import Iterator
from dataclasses import dataclass, field
from datetime import date

import numpy as np
import polars as pl

from pipelines.calibration.charts import ACT_AT, LOOK_AT, SMOOTH_SHARE, add_score, smooth
from pipelines.calibration.job_lines import SORT_KEY
from pipelines.calibration.kinds import FITTED_KINDS
from pipelines.calibration.one_step import miss_one_step
from pipelines.calibration.readings import LINE_WEIGHT
from schemas.frames import shape_of

LEAST_LINES = 20
"""Fewer jobs before a month can't say how far a job may be off."""

LOOK_BACK = "24mo"
FADE = 0.1
"""What jobs count once a lasting change is acted on, if they lie well before it."""

KEPT = "3mo"
"""Jobs that lie no longer before the signal keep their weight."""

MIND_LESS = "Look first whether roofs still get all that they are specified to hold."

UP, DOWN = "up", "down"
LOOK, ACT = "look", "act"


@dataclass(frozen=True)
class Signal:
    """
    A change that lasts: `state` is look or act, `direction` up or down.

    `since_on`: the job at which the sum began to grow; `signal_on`: that at which it went beyond
    its limit. `miss_ratio`: a running average of the misses over base from the one to the other.
    """

    state: str
    direction: str
    since_on: date
    signal_on: date
    miss_ratio: float


@dataclass
class _Chart:
    """The sums of a material since the last signal, and the jobs that they have grown over."""

    sums: dict[str, float] = field(default_factory=lambda: {UP: 0.0, DOWN: 0.0})
    jobs: dict[str, list[tuple[date, float]]] = field(default_factory=lambda: {UP: [], DOWN: []})

    def add(self, finished: date, score: float, miss_ratio: float) -> None:
        """Add a job to both sums; a sum at nothing forgets its jobs."""
        sums = np.array(self.sums[UP]), np.array(self.sums[DOWN])
        upper, lower = add_score(*sums, np.array(score))
        for direction, total in ((UP, float(upper)), (DOWN, float(lower))):
            self.sums[direction] = total
            self.jobs[direction].append((finished, miss_ratio))
            if total == 0:
                self.jobs[direction].clear()

    def read(self, limit: float, state: str) -> Signal | None:
        """Return the signal of the larger sum, if it is beyond the limit."""
        direction = UP if self.sums[UP] >= self.sums[DOWN] else DOWN
        if self.sums[direction] <= limit:
            return None
        days, misses = zip(*self.jobs[direction], strict=True)
        mean = smooth(misses, misses[0], SMOOTH_SHARE)[-1]
        return Signal(state, direction, days[0], days[-1], mean)


def watch_use(use_lines: pl.DataFrame, as_of: date) -> pl.DataFrame:
    """
    Hold each job of the last 24 months against the jobs of the months before it.

    A job's miss by the fit to all jobs before its month, over what jobs scatter, at most 3 either
    way and centred as the misses of those jobs are, goes into a pair of sums. Beyond 5 the use
    deserves a look, beyond 8 it is acted on: the sums start anew with the next month, and older
    jobs fade as `fade_before` says, here and in the fits.

    Args:
        use_lines: as `fit_all` takes them, any number of materials.
        as_of: the day from which the 24 months are counted back.

    Returns:
        Shaped as `result.drift`, sorted by material and day: one row for each change acted on,
        and one for a sum that stands beyond 5 at the last job. Materials with fewer than 20 jobs
        before a month are not watched in it.

    """
    first_on = pl.select(pl.lit(as_of).dt.offset_by(f"-{LOOK_BACK}").dt.month_start()).item()
    rows = [
        {"material": material, **_row(material, signal)}
        for (material,), lines in sorted(
            use_lines.filter(pl.col("kind").is_in(FITTED_KINDS))
            .partition_by("material", as_dict=True)
            .items()
        )
        for signal in _watch(lines.sort(SORT_KEY), first_on)
    ]
    return pl.DataFrame(rows, schema=shape_of("result.drift"))


def fade_before(use_lines: pl.DataFrame, drift: pl.DataFrame) -> pl.DataFrame:
    """
    Let jobs that lie more than three months before a change acted on count a tenth.

    Args:
        use_lines: material, completed_on, and line_weight where it is known.
        drift: of `watch_use`: material, state, signal_on.

    Returns:
        The lines in their order, with `line_weight`.

    """
    acted = drift.filter(pl.col("state") == ACT)
    weight = pl.col(LINE_WEIGHT) if LINE_WEIGHT in use_lines.columns else pl.lit(1.0)
    for material, signal_on in acted.select("material", "signal_on").iter_rows():
        is_old = pl.col("completed_on") < _kept_from(signal_on)
        is_own = pl.col("material") == material
        weight = pl.when(is_own & is_old).then(weight * FADE).otherwise(weight)
    return use_lines.with_columns(weight.alias(LINE_WEIGHT))


def _kept_from(signal_on: date) -> date:
    kept_from: date = pl.select(pl.lit(signal_on).dt.offset_by(f"-{KEPT}")).item()
    return kept_from


def _watch(lines: pl.DataFrame, first_on: date) -> Iterator[Signal]:
    chart = _Chart()
    acted: list[Signal] = []
    types = sorted(lines["job_type"].unique())
    month = pl.col("completed_on").dt.month_start()
    for start in lines.filter(month >= first_on).select(month.unique().sort())["completed_on"]:
        before = lines.filter(pl.col("completed_on") < start)
        if before.height < LEAST_LINES:
            continue
        jobs = lines.filter(month == start)
        found = miss_one_step(_fade(before, acted), jobs, types)
        for finished, score, miss in zip(
            jobs["completed_on"], found.scores.tolist(), found.misses.tolist(), strict=True
        ):
            chart.add(finished, score, miss)
            if signal := chart.read(ACT_AT, ACT):
                yield signal
                acted.append(signal)
                chart = _Chart()
                break
    if signal := chart.read(LOOK_AT, LOOK):
        yield signal


def _fade(before: pl.DataFrame, acted: list[Signal]) -> pl.DataFrame:
    drift = pl.DataFrame(
        {
            "material": [before["material"][0]] * len(acted),
            "state": [signal.state for signal in acted],
            "signal_on": [signal.signal_on for signal in acted],
        },
        schema={"material": pl.String, "state": pl.String, "signal_on": pl.Date},
    )
    return fade_before(before, drift)


def _row(material: str, signal: Signal) -> dict[str, object]:
    return {
        "state": signal.state,
        "direction": signal.direction,
        "since_month": signal.since_on.replace(day=1),
        "signal_on": signal.signal_on,
        "miss_ratio": signal.miss_ratio,
        "sentence": _say(material, signal),
    }


def _say(material: str, signal: Signal) -> str:
    moved, more = ("creeping up", "more") if signal.direction == UP else ("going down", "less")
    hundredths = f"{abs(signal.miss_ratio):.0%}".removesuffix("%")
    name = material[:1].upper() + material[1:]
    was = "may have been" if signal.state == LOOK else "has been"
    said = (
        f"{name} use {was} {moved} since {signal.since_on:%B %Y}: lately about {hundredths} in 100 "
        f"of the need {more} than the jobs before say."
    )
    if signal.state == ACT:
        day = _kept_from(signal.signal_on)
        said += f" Jobs finished before {day.day} {day:%B %Y} now count a tenth."
    return f"{said} {MIND_LESS}" if signal.direction == DOWN else said
