"""The jobs of one material, as the columns that a fit works on."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np
import polars as pl

from pipelines.calibration.kinds import WHOLE_PIECE_KINDS
from pipelines.calibration.mixed_model import Floats, Positions
from pipelines.errors import QuantityError

HALF_LIFE_MONTHS = 24
"""A job counts half of one that is this much newer."""

SORT_KEY = ("completed_on", "job_ref", "base_quantity", "used_quantity")


@dataclass(frozen=True)
class JobLines:
    """
    Jobs in the order of `SORT_KEY`.

    `ratio` is used / base - 1, `size` the reference quantity / base, `group` the position of the
    job's type in `types`, `weight` what it still counts by its age. The reference
    quantity is the median base, in base units.
    """

    material: str
    base_unit: str
    ratio: Floats
    size: Floats
    group: Positions
    weight: Floats
    types: tuple[str, ...]
    reference_quantity: float
    is_whole_piece: bool

    @property
    def count(self) -> int:
        """Give the number of jobs."""
        return len(self.ratio)

    @property
    def base(self) -> Floats:
        """Give the base of each job."""
        return self.reference_quantity / self.size

    @property
    def used(self) -> Floats:
        """Give what each job used."""
        return (1 + self.ratio) * self.base

    @property
    def effective_count(self) -> float:
        """Give what the jobs count together."""
        return float(self.weight.sum())

    @property
    def type_counts(self) -> tuple[int, ...]:
        """Give the number of jobs of each of `types`."""
        return tuple(np.bincount(self.group, minlength=len(self.types)).tolist())


def read_job_lines(lines: pl.DataFrame, job_types: Sequence[str], as_of: date | None) -> JobLines:
    """
    Read the lines of one material, at least one, with these job types besides their own.

    A job counts 2^(-age / 24), its age the months from its month to that of `as_of`, or to that
    of the newest job.

    Raises:
        QuantityError: a base that is not above 0, or a use that is not a figure.

    """
    _refuse_lines(lines)
    ordered = lines if _are_sorted(lines) else lines.sort(SORT_KEY)
    base = ordered["base_quantity"].to_numpy()
    types = tuple(sorted({*ordered["job_type"].unique(), *job_types}))
    reference = float(np.median(base))
    return JobLines(
        material=ordered["material"][0],
        base_unit=ordered["base_unit"][0],
        ratio=ordered["used_quantity"].to_numpy() / base - 1,
        size=reference / base,
        group=_place(ordered["job_type"], types),
        weight=_weigh_by_age(ordered["completed_on"], as_of),
        types=types,
        reference_quantity=reference,
        is_whole_piece=ordered["kind"][0] in WHOLE_PIECE_KINDS,
    )


def _are_sorted(lines: pl.DataFrame) -> bool:
    # the warehouse hands lines over by day and job; sorting millions again takes longest of all
    day, job = pl.col("completed_on"), pl.col("job_ref")
    rises = (day > day.shift()) | ((day == day.shift()) & (job > job.shift()))
    return bool(lines.select(rises.slice(1).all()).item())


def _place(job_type: pl.Series, types: Sequence[str]) -> Positions:
    position = {word: at for at, word in enumerate(types)}
    return job_type.replace_strict(position, return_dtype=pl.Int64).to_numpy()


def _weigh_by_age(completed_on: pl.Series, as_of: date | None) -> Floats:
    month = (12 * completed_on.dt.year().cast(pl.Int64) + completed_on.dt.month()).to_numpy()
    now = month.max() if as_of is None else 12 * as_of.year + as_of.month
    age = now - month
    return np.asarray(2.0 ** (-np.maximum(age, 0) / HALF_LIFE_MONTHS))


def _refuse_lines(lines: pl.DataFrame) -> None:
    base, used = pl.col("base_quantity"), pl.col("used_quantity")
    sound = (base > 0) & base.is_finite() & used.is_finite()
    wrong = lines.filter(~sound.fill_null(value=False)).sort("job_ref")
    if wrong.height:
        row = wrong.row(0, named=True)
        raise QuantityError(
            f"{row['material']} on job {row['job_ref']}: base {row['base_quantity']} and used "
            f"{row['used_quantity']}; a base above 0 and a use are needed"
        )
