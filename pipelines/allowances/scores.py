"""How near the suggestions would have come on past jobs, beside other ways of allowing."""

from datetime import date

import polars as pl

from pipelines.allowances.ways import AS_SUGGESTED
from schemas.frames import shape_of

ALL_MATERIALS = "all"
PENCE_DIGITS = 2
SCORED_MONTHS = 12

_GROUP = ("material", "method")
_LINE = ("material", "job_ref")


def score_ways(tried: pl.DataFrame, month_end_on: date) -> pl.DataFrame:
    """
    Sum up the lines of the last twelve full months by material and way of allowing.

    Args:
        tried: lines as `try_on_past_jobs` makes them.
        month_end_on: the end of the last full month.

    Returns:
        One row per material, and `all`, and method, shaped as `result.score`, sorted. The
        pinball is the mean over lines, over base. The cost error is the sum over the priced
        lines of |charged - used| in pounds, so that `all` is the sum of the materials; the mean
        error is charged - used, a priced line; both null where no line has a price. Beside them
        stand the pinball and the cost error of the suggestions on the very same lines, since not
        every line is known to have been allowed something. Covered: used no more than was
        loaded; a job is covered where all its lines are, which only `all` can say.

    """
    lately = tried.filter(pl.col("completed_on") >= _first_day(month_end_on))
    lines = lately.join(_as_suggested(lately), on=_LINE).with_columns(
        month_on=pl.col("completed_on").dt.truncate("1mo"),
        is_covered=pl.col("used_quantity") <= pl.col("loaded_quantity"),
    )
    of_all = lines.with_columns(material=pl.lit(ALL_MATERIALS))
    scores = pl.concat(
        [
            _sum_up(lines).with_columns(covered_job_ratio=pl.lit(None, pl.Float64)),
            _sum_up(of_all).join(_cover_jobs(of_all), on=_GROUP),
        ]
    )
    shape = shape_of("result.score")
    return scores.sort(_GROUP).select(pl.col(name).cast(dtype) for name, dtype in shape.items())


def _first_day(month_end_on: date) -> pl.Expr:
    return pl.lit(month_end_on.replace(day=1)).dt.offset_by(f"-{SCORED_MONTHS - 1}mo")


def _as_suggested(lines: pl.DataFrame) -> pl.DataFrame:
    return lines.filter(method=AS_SUGGESTED).select(
        *_LINE, suggested_pinball_ratio="pinball_ratio", suggested_error_gbp="error_gbp"
    )


def _sum_up(lines: pl.DataFrame) -> pl.DataFrame:
    error, suggested = pl.col("error_gbp"), pl.col("suggested_error_gbp")
    priced = error.count()
    return (
        lines.group_by(_GROUP, maintain_order=True)
        .agg(
            month_count=pl.col("month_on").n_unique(),
            line_count=pl.len(),
            job_count=pl.col("job_ref").n_unique(),
            pinball_ratio=pl.col("pinball_ratio").mean(),
            suggested_pinball_ratio=pl.col("suggested_pinball_ratio").mean(),
            priced_line_count=priced,
            cost_error_gbp=_where_priced(error.abs().sum()),
            suggested_error_gbp=_where_priced(suggested.abs().sum()),
            mean_error_gbp=_where_priced(error.sum().cast(pl.Float64) / priced),
            covered_line_ratio=pl.col("is_covered").mean(),
        )
        .with_columns(pl.col("mean_error_gbp").round(PENCE_DIGITS))
    )


def _where_priced(figure: pl.Expr) -> pl.Expr:
    return pl.when(pl.col("error_gbp").count() > 0).then(figure)


def _cover_jobs(lines: pl.DataFrame) -> pl.DataFrame:
    jobs = lines.group_by(*_GROUP, "job_ref").agg(pl.col("is_covered").all())
    return jobs.group_by(_GROUP).agg(covered_job_ratio=pl.col("is_covered").mean())
