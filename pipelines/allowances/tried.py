"""Past jobs on which the suggestions of their month are tried, beside other ways of allowing."""

from collections.abc import Sequence
from datetime import date

import polars as pl

from pipelines.allowances.held_out import foretell_month, list_lines_before
from pipelines.calibration.load_setting import find_load_setting
from pipelines.setting_load import Load
from schemas.columns import MONEY
from schemas.frames import shape_of

TRIED_MONTHS = 24
PENCE_DIGITS = 2

_KEY = ("completed_on", "material", "job_ref", "method")


def try_on_past_jobs(
    use_lines: pl.DataFrame,
    allowed_then: pl.DataFrame,
    price_steps: pl.DataFrame,
    month_end_on: date,
    *,
    load: Load,
    job_types: Sequence[str],
    drift: pl.DataFrame,
) -> pl.DataFrame:
    """
    Lay what past jobs would have been charged and loaded beside what they used.

    Each of the last `TRIED_MONTHS` full months is foretold from the jobs finished before it alone
    (`foretell_month`); its own uses only judge what was foretold.

    Args:
        use_lines: as `fit_all` takes them.
        allowed_then: as `foretell_month` takes it.
        price_steps: material, from_on, price_gbp of a base unit, which holds until the next step.
        month_end_on: the end of the last full month.
        load: how sure a load shall be; a share of whole jobs, or of costs, is found for each month
            from the jobs before it.
        job_types: job types that get a suggestion even without a job.
        drift: lasting changes of use, as `foretell_month` takes them.

    Returns:
        One row per material, job and method, shaped as `result.tried_line`, oldest first. The
        pinball is share x what was short, or (1 - share) x what was left over, of the load, over
        base (Koenker and Bassett's loss, from memory; least where the share of jobs stays within
        the load). The error is charged - used at the price of the day on which the job was
        finished, to the penny; null without a price.

    """
    months = _list_months(month_end_on)
    shares = [
        _find_share(
            list_lines_before(use_lines, drift, first_on), price_steps, first_on, load, job_types
        )
        for first_on in months
    ]
    foretold = pl.concat(
        [
            foretell_month(use_lines, allowed_then, first_on, share, job_types, drift=drift)
            for first_on, share in zip(months, shares, strict=True)
        ]
    )
    used = use_lines.select("material", "job_ref", "used_quantity")
    prices = price_steps.select(
        "material", pl.col("from_on").alias("completed_on"), pl.col("price_gbp").cast(pl.Float64)
    ).sort("completed_on")
    error = (pl.col("charged_quantity") - pl.col("used_quantity")) * pl.col("price_gbp")
    tried = (
        foretold.join(used, on=("material", "job_ref"))
        .sort(_KEY)
        .join_asof(
            prices, on="completed_on", by="material", strategy="backward", check_sortedness=False
        )
        .with_columns(pinball_ratio=_pinball(), error_gbp=error.round(PENCE_DIGITS).cast(MONEY))
    )
    shape = shape_of("result.tried_line")
    return tried.select(pl.col(name).cast(dtype) for name, dtype in shape.items())


def list_prices_before(price_steps: pl.DataFrame, on: date) -> pl.DataFrame:
    """Return material and price_gbp as they stand at the end of the day before `on`."""
    stood = price_steps.filter(pl.col("from_on") < on).sort("material", "from_on")
    return stood.group_by("material", maintain_order=True).agg(pl.col("price_gbp").last())


def _find_share(
    before: pl.DataFrame,
    price_steps: pl.DataFrame,
    first_on: date,
    load: Load,
    job_types: Sequence[str],
) -> float:
    if load.is_by_material:
        return load.load_share
    prices = list_prices_before(price_steps, first_on)
    return find_load_setting(before, load, prices, job_types, first_on).load_share


def _list_months(month_end_on: date) -> list[date]:
    last = pl.lit(month_end_on.replace(day=1))
    first = last.dt.offset_by(f"-{TRIED_MONTHS - 1}mo")
    months: list[date] = pl.select(pl.date_range(first, last, "1mo")).to_series().to_list()
    return months


def _pinball() -> pl.Expr:
    short = (pl.col("used_quantity") - pl.col("loaded_quantity")) / pl.col("base_quantity")
    share = pl.col("load_share_ratio")
    return pl.max_horizontal(share * short, (share - 1) * short)
