"""Least lengths of every trim of every job, as one frame."""

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any

import polars as pl

from pipelines.cutting.least_lengths import least_lengths
from pipelines.errors import QuantityError
from pipelines.quantities import MM_IN_M
from schemas.frames import shape_of

KEY = ("job_ref", "material", "stage")
DIMENSIONS = ("stock_length_mm", "lap_mm", "kerf_mm", "keep_from_mm")


def plan_jobs(runs: pl.DataFrame) -> pl.DataFrame:
    """
    Find the least lengths for each trim of each job.

    Args:
        runs: one row per run: job_ref, material, stage (quoted, fitted), run_mm,
            stock_length_mm, lap_mm, kerf_mm, keep_from_mm, all in whole mm.

    Returns:
        One row per job_ref, material, stage, sorted by them, shaped as `plan.best_plan`:
        lengths_count, joints_count, run_m, lap_m, kept_m, base_m in metres exact to the mm.
        Where a run or a dimension is blank or can't be, the figures are null and `problem`
        says why.

    """
    jobs = (
        runs.group_by(KEY)
        .agg(pl.col("run_mm").sort(), *(pl.col(name).unique().sort() for name in DIMENSIONS))
        .sort(KEY)
    )
    planned = [_plan_job(job) for job in jobs.iter_rows(named=True)]
    return pl.DataFrame(planned, schema=shape_of("plan.best_plan"))


def _plan_job(job: Mapping[str, Any]) -> dict[str, Any]:
    key = {name: job[name] for name in KEY}
    try:
        dimensions = {name: _single(job, name) for name in DIMENSIONS}
        plan = least_lengths(_recorded(job["run_mm"]), **dimensions)
    except QuantityError as error:
        return key | {"problem": str(error)}
    figures = asdict(plan)
    metres = {
        f"{name}_m": figures[f"{name}_mm"] / MM_IN_M for name in ("run", "lap", "kept", "base")
    }
    counts = {name: figures[name] for name in ("lengths_count", "joints_count")}
    return key | counts | metres


def _recorded(runs_mm: list[int | None]) -> list[int]:
    known = [run for run in runs_mm if run is not None]
    if len(known) < len(runs_mm):
        raise QuantityError("the length of a run is not recorded")
    return known


def _single(job: Mapping[str, Any], name: str) -> int:
    values: list[int | None] = job[name]
    value = values[0]
    if len(values) > 1:
        shown = ", ".join("blank" if each is None else str(each) for each in values)
        raise QuantityError(f"{name}: the runs of one trim name more than one: {shown}")
    if value is None:
        raise QuantityError(f"{name} is not recorded for the material")
    return value
