"""Use of materials that no job books out: shared out from purchases and counts, not measured."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from itertools import pairwise
from typing import Any

import numpy as np
import polars as pl

from pipelines.stock.count_lines import Line, Periods, fit_line
from schemas.frames import shape_of

LABEL = "shared out, not measured"

LEAST_PERIODS = 4
"""Fewer periods tell neither a ratio nor how much jobs differ; a choice, no source."""


@dataclass(frozen=True)
class Job:
    """A finished job's base of the material, None where it is not known."""

    job_ref: str
    completed_on: date
    base: float | None


@dataclass(frozen=True)
class Period:
    """What went between two counts, in base units, and the jobs that were finished in it."""

    from_on: date
    to_on: date
    used: Decimal
    opening_variance: float
    closing_variance: float
    jobs: Sequence[Job]

    @property
    def is_known(self) -> bool:
        """Whether the base of every job is known."""
        return all(job.base is not None for job in self.jobs)

    @property
    def bases(self) -> list[float]:
        """Base of every job, 0 where it is not known."""
        return [job.base or 0.0 for job in self.jobs]


@dataclass(frozen=True)
class SharedUse:
    """`result.shared_use` and `result.shared_job`."""

    material: pl.DataFrame
    job: pl.DataFrame


def share_use(intervals: pl.DataFrame, needs: pl.DataFrame) -> SharedUse:
    """
    Share out what went between counts over the jobs, where no job says what it took.

    Args:
        intervals: `stock.count_interval`; of a material without issue records its difference is
            the use between the counts: opening + bought - back - lost - closing.
        needs: `learn.shared_need`.

    Returns:
        A ratio a material (use over base, generalised least squares through the periods), and a
        quantity a job: its period's use in proportion to base, adding up to it. Neither is
        measured per job, and neither goes to calibration.

    """
    materials, shares = [], []
    unrecorded = intervals.filter(~pl.col("has_issue_records")).sort("material", "to_on")
    for lines in unrecorded.partition_by("material", maintain_order=True):
        own = needs.filter(pl.col("material") == lines["material"][0]).sort(
            "completed_on", "job_ref"
        )
        periods = [_read_period(row, own) for row in lines.iter_rows(named=True)]
        head = {"material": lines["material"][0], "base_unit": lines["base_unit"][0]}
        materials.append(head | _fit(periods))
        shares += [head | share for period in periods for share in _share_period(period)]
    return SharedUse(
        pl.DataFrame(materials, schema=shape_of("result.shared_use")),
        pl.DataFrame(shares, schema=shape_of("result.shared_job")),
    )


def _read_period(row: Mapping[str, Any], needs: pl.DataFrame) -> Period:
    done = needs.filter(pl.col("completed_on").is_between(row["from_on"], row["to_on"], "right"))
    columns = ("job_ref", "completed_on", "base_quantity")
    return Period(
        row["from_on"],
        row["to_on"],
        row["difference_quantity"],
        row["opening_variance"],
        row["closing_variance"],
        [Job(*job) for job in done.select(columns).iter_rows()],
    )


def _fit(periods: Sequence[Period]) -> dict[str, Any]:
    known = [period for period in periods if period.is_known]
    counted = {
        "period_count": len(known),
        "job_count": sum(len(period.jobs) for period in known),
        "label": LABEL,
    }
    reason = _why_no_line(known)
    if reason:
        return counted | {"use_ratio": None, "standard_error_ratio": None, "note": reason}
    line = fit_line(_arrange(periods))
    return counted | _figures(line) | {"note": None}


def _why_no_line(known: Sequence[Period]) -> str | None:
    with_jobs = sum(1 for period in known if sum(period.bases) > 0)
    if with_jobs < LEAST_PERIODS:
        return (
            f"{with_jobs} spans between counts with finished jobs of known need: "
            f"{LEAST_PERIODS} are the least that a ratio can be drawn through"
        )
    return None


def _figures(line: Line) -> dict[str, float]:
    return {"use_ratio": line.slope - 1, "standard_error_ratio": line.standard_error}


def _arrange(periods: Sequence[Period]) -> Periods:
    variances = [period.opening_variance for period in periods] + [periods[-1].closing_variance]
    return Periods(
        used=np.array([float(period.used) for period in periods]),
        base=np.array([sum(period.bases) for period in periods]),
        job_square=np.array([sum(base**2 for base in period.bases) for period in periods]),
        count_variance=np.array(variances),
        is_known=np.array([period.is_known and bool(period.jobs) for period in periods]),
    )


def _share_period(period: Period) -> list[dict[str, Any]]:
    whole = sum(period.bases)
    if not period.is_known or whole <= 0 or period.used < 0:
        return []
    shares = share_out(period.used, period.bases)
    return [
        {
            "job_ref": job.job_ref,
            "from_on": period.from_on,
            "to_on": period.to_on,
            "base_quantity": job.base,
            "shared_quantity": share,
            "label": LABEL,
        }
        for job, share in zip(period.jobs, shares, strict=True)
    ]


def share_out(quantity: Decimal, weights: Sequence[float]) -> list[Decimal]:
    """
    Share a quantity in proportion to weights above 0, in thousandths that add up to it.

    Each share is the rounded running total less the one before, so that none is out by more than
    a thousandth.
    """
    thousandths = int(quantity.scaleb(3))
    running = np.cumsum(weights) / sum(weights) * thousandths
    marks = [0, *(round(float(mark)) for mark in running[:-1]), thousandths]
    return [Decimal(upper - lower).scaleb(-3) for lower, upper in pairwise(marks)]
