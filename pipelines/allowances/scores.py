"""How near the suggestions would have come on past jobs, in pounds, beside two plain ways."""

from collections.abc import Sequence
from datetime import date

import polars as pl

from pipelines.allowances.held_out import foretell_month
from schemas.columns import MONEY
from schemas.frames import shape_of

ALL_MATERIALS = "all"
PENCE_DIGITS = 2

_GROUP = ("material", "method")


def score_suggestions(
    use_lines: pl.DataFrame,
    price_steps: pl.DataFrame,
    month_end_on: date,
    load_share: float,
    job_types: Sequence[str],
) -> pl.DataFrame:
    """
    Lay what past jobs would have been charged and loaded beside what they used.

    Each of the last twelve full months is foretold from the jobs finished before it alone
    (`foretell_month`); its own uses only judge what was foretold.

    Args:
        use_lines: as `fit_all` takes them.
        price_steps: material, from_on, price_gbp of a base unit, which holds until the next step.
        month_end_on: the end of the last full month.
        load_share: share of jobs that shall not run short, between 0 and 1.
        job_types: job types that get a suggestion even without a job.

    Returns:
        One row per material, and `all`, and method, shaped as `result.score`, sorted. The cost
        error is the sum over lines of |charged - used| at the price of the day on which the job
        was finished, rounded to the penny line by line, so that `all` is the sum of the
        materials; the mean error is charged - used, a line. Covered: used no more than was
        loaded; a job is covered where all its lines are, which only `all` can say. Lines without
        a price, and those that `foretell_month` leaves out, are left out.

    """
    foretold = pl.concat(
        [
            foretell_month(use_lines, first_on, load_share, job_types)
            for first_on in _list_months(month_end_on)
        ]
    )
    lines = _judge(foretold, use_lines, price_steps)
    of_all = lines.with_columns(material=pl.lit(ALL_MATERIALS))
    scores = pl.concat(
        [
            _sum_up(lines).with_columns(covered_job_ratio=pl.lit(None, pl.Float64)),
            _sum_up(of_all).join(_cover_jobs(of_all), on=_GROUP),
        ]
    )
    shape = shape_of("result.score")
    return scores.sort(_GROUP).select(pl.col(name).cast(dtype) for name, dtype in shape.items())


def _list_months(month_end_on: date) -> list[date]:
    last = pl.lit(month_end_on.replace(day=1))
    months: list[date] = (
        pl.select(pl.date_range(last.dt.offset_by("-11mo"), last, "1mo")).to_series().to_list()
    )
    return months


def _judge(
    foretold: pl.DataFrame, use_lines: pl.DataFrame, price_steps: pl.DataFrame
) -> pl.DataFrame:
    used = use_lines.select("material", "job_ref", "used_quantity")
    prices = price_steps.select(
        "material", pl.col("from_on").alias("completed_on"), pl.col("price_gbp").cast(pl.Float64)
    ).sort("completed_on")
    beyond = (pl.col("charged_quantity") - pl.col("used_quantity")) * pl.col("price_gbp")
    return (
        foretold.join(used, on=("material", "job_ref"))
        .sort("completed_on", *_GROUP, "job_ref")
        .join_asof(
            prices, on="completed_on", by="material", strategy="backward", check_sortedness=False
        )
        .drop_nulls("price_gbp")
        .with_columns(
            error_gbp=beyond.round(PENCE_DIGITS).cast(MONEY),
            month_on=pl.col("completed_on").dt.truncate("1mo"),
            is_covered=pl.col("used_quantity") <= pl.col("loaded_quantity"),
        )
    )


def _sum_up(lines: pl.DataFrame) -> pl.DataFrame:
    error = pl.col("error_gbp")
    return (
        lines.group_by(_GROUP)
        .agg(
            month_count=pl.col("month_on").n_unique(),
            line_count=pl.len(),
            job_count=pl.col("job_ref").n_unique(),
            cost_error_gbp=error.abs().sum(),
            mean_error_gbp=error.sum().cast(pl.Float64) / pl.len(),
            covered_line_ratio=pl.col("is_covered").mean(),
        )
        .with_columns(pl.col("mean_error_gbp").round(PENCE_DIGITS))
    )


def _cover_jobs(lines: pl.DataFrame) -> pl.DataFrame:
    jobs = lines.group_by(*_GROUP, "job_ref").agg(pl.col("is_covered").all())
    return jobs.group_by(_GROUP).agg(covered_job_ratio=pl.col("is_covered").mean())
