"""The jobs of one material, as the columns that a fit works on."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

import numpy as np
import polars as pl

from pipelines.calibration.kinds import WHOLE_PIECE_KINDS
from pipelines.calibration.middles import find_median
from pipelines.calibration.mixed_model import Floats, Positions
from pipelines.calibration.readings import LINE_WEIGHT
from pipelines.errors import QuantityError

HALF_LIFE_MONTHS = 24
"""A job counts half of one that is this much newer."""

FIRST_JOBS = 10_000

SORT_KEY = ("completed_on", "job_ref", "base_quantity", "used_quantity")


@dataclass(frozen=True)
class JobLines:
    """
    Jobs in the order of `SORT_KEY`.

    `ratio` is used / base - 1, `size` the reference quantity / base, `group` the position of the
    job's type in `types`, `weight` what it counts by its age and by how its use was found out. The
    reference quantity is the median base, in base units.
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

    def thin(self, step: int) -> "JobLines":
        """Give every so-manieth job, of all types and the same reference quantity."""
        columns = ("ratio", "size", "group", "weight")
        return replace(self, **{name: getattr(self, name)[::step].copy() for name in columns})


def read_job_lines(lines: pl.DataFrame, job_types: Sequence[str], as_of: date | None) -> JobLines:
    """
    Read the lines of one material, at least one, with these job types besides their own.

    A job counts 2^(-age / 24), its age the months from its month to that of `as_of`, or to that
    of the newest job; times its `line_weight` where the lines have one.

    Raises:
        QuantityError: a base that is not above 0, or a use that is not a figure.

    """
    _refuse_lines(lines)
    ordered = lines if _are_sorted(lines) else lines.sort(SORT_KEY)
    base = ordered["base_quantity"].to_numpy()
    types, group = _place(ordered["job_type"], job_types)
    reference = find_median(base)
    return JobLines(
        material=ordered["material"][0],
        base_unit=ordered["base_unit"][0],
        ratio=ordered["used_quantity"].to_numpy() / base - 1,
        size=reference / base,
        group=group,
        weight=_weigh_by_age(ordered["completed_on"], as_of) * _line_weights(ordered),
        types=types,
        reference_quantity=reference,
        is_whole_piece=ordered["kind"][0] in WHOLE_PIECE_KINDS,
    )


def split_by_material(lines: pl.DataFrame) -> list[pl.DataFrame]:
    """Give the lines of each material, which is of one kind, in the order of their names."""
    material = lines["material"]
    changes = (material != material.shift()).fill_null(value=True).arg_true().to_list()
    ends = [*changes, lines.height][1:]
    runs = [lines.slice(at, end - at) for at, end in zip(changes, ends, strict=True)]
    names = [run["material"][0] for run in runs]
    if len(set(names)) < len(names):
        return [part for _, part in sorted(lines.partition_by("material", as_dict=True).items())]
    return [run for _, run in sorted(zip(names, runs, strict=True), key=lambda pair: pair[0])]


def _are_sorted(lines: pl.DataFrame) -> bool:
    # the warehouse hands lines over by day and job; sorting millions again takes longest of all
    day, job = pl.col("completed_on"), pl.col("job_ref")
    rises = (day > day.shift()) | ((day == day.shift()) & (job > job.shift()))
    return bool(lines.select(rises.slice(1).all()).item())


def _place(job_type: pl.Series, more: Sequence[str]) -> tuple[tuple[str, ...], Positions]:
    # the types of the first jobs are nearly always all there are; looking at all costs as much
    # again as placing them
    for seen in (job_type.head(FIRST_JOBS), job_type):
        types = tuple(sorted({*seen.unique(), *more}))
        placed = job_type.cast(pl.Enum(types), strict=False).to_physical()
        if not placed.null_count():
            break
    return types, placed.cast(pl.Int64).to_numpy()


def _weigh_by_age(completed_on: pl.Series, as_of: date | None) -> Floats:
    day = completed_on.to_physical().to_numpy()
    first, last = day.min(), day.max()
    days = np.arange(first, last + 1).astype("datetime64[D]")
    month = days.astype("datetime64[M]").astype(np.int64)
    today = days[-1] if as_of is None else np.datetime64(as_of, "D")
    now = int(today.astype("datetime64[M]").astype(np.int64))
    weight = 2.0 ** (-np.maximum(now - month, 0) / HALF_LIFE_MONTHS)
    return np.asarray(weight[day - first])


def _line_weights(ordered: pl.DataFrame) -> Floats:
    if LINE_WEIGHT not in ordered.columns:
        return np.ones(ordered.height)
    return np.asarray(ordered[LINE_WEIGHT].to_numpy())


def _refuse_lines(lines: pl.DataFrame) -> None:
    amounts = [lines[name].to_numpy() for name in ("base_quantity", "used_quantity")]
    if all(np.isfinite(each).all() for each in amounts) and amounts[0].min() > 0:
        return
    base, used = pl.col("base_quantity"), pl.col("used_quantity")
    sound = (base > 0) & base.is_finite() & used.is_finite()
    wrong = lines.filter(~sound.fill_null(value=False)).sort("job_ref")
    if wrong.height:
        row = wrong.row(0, named=True)
        raise QuantityError(
            f"{row['material']} on job {row['job_ref']}: base {row['base_quantity']} and used "
            f"{row['used_quantity']}; a base above 0 and a use are needed"
        )
