"""The jobs of one material, as the columns that a fit works on."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import polars as pl

from pipelines.calibration.kinds import WHOLE_PIECE_KINDS
from pipelines.calibration.pooling import Floats, Positions
from pipelines.errors import QuantityError

SORT_KEY = ("material", "completed_on", "job_ref", "base_quantity", "used_quantity")


@dataclass(frozen=True)
class JobLines:
    """
    Jobs in the order of `SORT_KEY`.

    `ratio` is used / base - 1, `size` the reference quantity / base, `group` the position of the
    job's type in `types`. The reference quantity is the median base, in base units.
    """

    material: str
    base_unit: str
    ratio: Floats
    size: Floats
    group: Positions
    types: tuple[str, ...]
    reference_quantity: float
    is_whole_piece: bool

    @property
    def count(self) -> int:
        """Give the number of jobs."""
        return len(self.ratio)

    @property
    def type_counts(self) -> tuple[int, ...]:
        """Give the number of jobs of each of `types`."""
        return tuple(np.bincount(self.group, minlength=len(self.types)).tolist())


def read_job_lines(lines: pl.DataFrame, job_types: Sequence[str]) -> JobLines:
    """
    Read the lines of one material, at least one, with these job types besides their own.

    Raises:
        QuantityError: a base that is not above 0, or a use that is not a figure.

    """
    _refuse_lines(lines)
    ordered = lines.sort(SORT_KEY)
    base = ordered["base_quantity"].to_numpy()
    types = tuple(sorted({*ordered["job_type"].to_list(), *job_types}))
    position = {job_type: at for at, job_type in enumerate(types)}
    reference = float(np.median(base))
    return JobLines(
        material=ordered["material"][0],
        base_unit=ordered["base_unit"][0],
        ratio=ordered["used_quantity"].to_numpy() / base - 1,
        size=reference / base,
        group=np.array([position[word] for word in ordered["job_type"]], dtype=np.int64),
        types=types,
        reference_quantity=reference,
        is_whole_piece=ordered["kind"][0] in WHOLE_PIECE_KINDS,
    )


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
