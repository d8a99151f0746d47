"""How far each past job came out from what the other jobs would have said of it, line by line."""

from collections.abc import Sequence
from datetime import date

import polars as pl

from pipelines.calibration.capped_fit import fit_capped
from pipelines.calibration.job_lines import SORT_KEY, read_job_lines
from pipelines.calibration.kinds import FITTED_KINDS
from pipelines.calibration.material_fit import LEAST_LINES
from pipelines.calibration.misses import miss_by_others, share_needed

_SHAPE = pl.Schema(
    {
        "material": pl.String,
        "job_ref": pl.String,
        "base_quantity": pl.Float64,
        "miss_ratio": pl.Float64,
        "weight": pl.Float64,
        "share_needed": pl.Float64,
    }
)


def list_misses(
    use_lines: pl.DataFrame, job_types: Sequence[str] = (), as_of: date | None = None
) -> pl.DataFrame:
    """
    List the misses of the jobs by the fit of their material to the other jobs.

    Args:
        use_lines: as `fit_all` takes them.
        job_types: job types that get a rate even without a job.
        as_of: the day on which the jobs are looked back on.

    Returns:
        One row per line of a material on which enough jobs speak: material, job_ref,
        base_quantity, miss_ratio (over base), weight by age, and share_needed, which the share
        of a load has to exceed so that it holds this line.

    """
    fitted = use_lines.filter(pl.col("kind").is_in(FITTED_KINDS))
    parts = sorted(fitted.partition_by("material", as_dict=True).items())
    found = [_of_material(lines, job_types, as_of) for _, lines in parts]
    return pl.concat([_SHAPE.to_frame(), *found])


def _of_material(lines: pl.DataFrame, job_types: Sequence[str], as_of: date | None) -> pl.DataFrame:
    jobs = read_job_lines(lines, job_types, as_of)
    if jobs.effective_count < LEAST_LINES:
        return _SHAPE.to_frame()
    solved = fit_capped(jobs)
    misses = miss_by_others(solved.misses, solved.leverage)
    return (
        lines.sort(SORT_KEY)
        .select("material", "job_ref", "base_quantity")
        .with_columns(
            miss_ratio=pl.Series(misses),
            weight=pl.Series(jobs.weight),
            share_needed=pl.Series(share_needed(misses, jobs.weight)),
        )
    )
