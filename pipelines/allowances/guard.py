"""What a suggestion has to show before it is offered in the place of what is allowed."""

from dataclasses import dataclass
from datetime import date

import polars as pl

from pipelines.allowances.job_sizes import KEY
from pipelines.allowances.ways import AS_ALLOWED, AS_SUGGESTED

MOST_LINES = 120
LEAST_LINES = 20
LEAST_CHANGE = 0.005
MOST_STEP = 0.03
"""What a decided allowance moves in a month, over the base of a usual job."""

QUANTITY_DIGITS = 3
RATIO_DIGITS = 4

THIS_MONTH = "decided on {}: the next suggestion comes in the month after"
SMALL = "keep what you allow, as the suggestion is less than half of one per cent away"
UNTRIED = (
    "keep what you allow, as the suggestion could be tried on {} past jobs only and 20 are needed "
    "to tell"
)
AS_GOOD = (
    "keep what you allow, as on the last {} jobs the suggestion did not come clearly nearer to "
    "what they took"
)

_FIGURES = ("fixed_loss", "price_ratio", "load_ratio")


@dataclass(frozen=True)
class Standing:
    """
    What a suggestion is held against.

    `in_force`: material, job_type, how, in_force_from, fixed_loss, price_ratio, load_ratio, and
    the blend_ratio that makes the base which they stand on.
    `tried`: past jobs as `try_on_past_jobs` lays them out. `as_of`: the day of the run.
    """

    in_force: pl.DataFrame
    tried: pl.DataFrame
    as_of: date


def weigh_gains(tried: pl.DataFrame) -> pl.DataFrame:
    """
    Say how much nearer the loads as suggested came than those allowed then, on the same jobs.

    Returns:
        One row per material: material, tried_line_count (the last `MOST_LINES` at most),
        gain_ratio (mean difference of pinballs, above 0 where the suggestion came nearer) and
        gain_error_ratio, its standard error; null for a single job.

    """
    line = ("material", "job_ref", "completed_on")
    suggested = tried.filter(method=AS_SUGGESTED).select(*line, nearer="pinball_ratio")
    allowed = tried.filter(method=AS_ALLOWED).select("material", "job_ref", "pinball_ratio")
    gain = pl.col("pinball_ratio") - pl.col("nearer")
    return (
        suggested.join(allowed, on=("material", "job_ref"))
        .with_columns(gain_ratio=gain)
        .sort("completed_on", "material", "job_ref")
        .group_by("material", maintain_order=True)
        .tail(MOST_LINES)
        .group_by("material", maintain_order=True)
        .agg(
            pl.len().cast(pl.Int64).alias("tried_line_count"),
            pl.col("gain_ratio").mean(),
            (pl.col("gain_ratio").std() / pl.len().sqrt()).alias("gain_error_ratio"),
        )
    )


def hold_against(rows: pl.DataFrame, standing: Standing | None) -> pl.DataFrame:
    """
    Hold what the jobs point to against what is in force.

    A change is offered where, on 20 past jobs or more, its load came nearer by more than one
    standard error than what was allowed then, and it moves the charge or the load by more than
    half a hundredth of a usual base. What was decided moves by no more than `MOST_STEP` in a
    month, unless that left the charge below what a roof holds. What was never decided is not
    held to steps: to take a first suggestion up is the owner's own choice. Where nothing is in
    force there is nothing to keep. Figures in force that stand on another base than the
    suggestion are first put onto its base, so that a usual job is allowed the same.

    Args:
        rows: material, job_type, typical_base_quantity, stands_base_quantity (the same on the base
            of what is in force; null: it is the same base), largest_base_quantity, least_charge
            (what a job of the largest base has to be charged, or null), full_fixed_loss,
            full_price_ratio, full_load_ratio.
        standing: None: nothing is in force.

    Returns:
        `rows` with suggested_fixed_loss, suggested_price_ratio, suggested_load_ratio,
        change_ratio, is_step_limited, tried_line_count, gain_ratio, gain_error_ratio, and
        why_keep: the reason in words, null where the change is offered.

    """
    if standing is None:
        return rows.with_columns(
            *(pl.col(f"full_{name}").alias(f"suggested_{name}") for name in _FIGURES),
            *(pl.lit(None, pl.Float64).alias(name) for name in ("change_ratio", "gain_ratio")),
            gain_error_ratio=pl.lit(None, pl.Float64),
            tried_line_count=pl.lit(None, pl.Int64),
            is_step_limited=pl.lit(value=False),
            why_keep=pl.lit(None, pl.String),
        )
    stands = {f"stands_{name}": name for name in _FIGURES}
    in_force = standing.in_force.select(*KEY, "how", "in_force_from", **stands)
    return (
        rows.join(in_force, on=KEY, how="left")
        .join(weigh_gains(standing.tried), on="material", how="left")
        .with_columns(map(_put_onto_base, ("price_ratio", "load_ratio")))
        .with_columns(change_ratio=_change())
        .with_columns(step_share=_step_share())
        .with_columns(
            *(_step(name) for name in _FIGURES),
            is_step_limited=(pl.col("step_share") < 1).fill_null(value=False),
            why_keep=_why_keep(standing.as_of),
        )
    )


def _put_onto_base(name: str) -> pl.Expr:
    base, stands = pl.col("typical_base_quantity"), pl.col(f"stands_{name}")
    own = pl.col("stands_base_quantity").fill_null(base)
    return (
        pl.when(own == base)
        .then(stands)
        .otherwise(own / base * (1 + stands) - 1)
        .alias(stands.meta.output_name())
    )


def _change() -> pl.Expr:
    fixed = pl.col("full_fixed_loss") - pl.col("stands_fixed_loss")
    by_job = fixed / pl.col("typical_base_quantity")
    price = by_job + pl.col("full_price_ratio") - pl.col("stands_price_ratio")
    load = by_job + pl.col("full_load_ratio") - pl.col("stands_load_ratio")
    return pl.max_horizontal(price.abs(), load.abs())


def _step_share() -> pl.Expr:
    part = MOST_STEP / pl.col("change_ratio")
    is_held = (pl.col("how") == "decided") & (part < 1)
    largest = pl.col("largest_base_quantity")
    charge = largest + _part_of("fixed_loss", part) + _part_of("price_ratio", part) * largest
    is_short = (charge < pl.col("least_charge")).fill_null(value=False)
    return pl.when(is_held & ~is_short).then(part).otherwise(1.0)


def _part_of(name: str, share: pl.Expr) -> pl.Expr:
    stands = pl.col(f"stands_{name}")
    return stands + share * (pl.col(f"full_{name}") - stands)


def _step(name: str) -> pl.Expr:
    full, share = pl.col(f"full_{name}"), pl.col("step_share")
    digits = QUANTITY_DIGITS if name == "fixed_loss" else RATIO_DIGITS
    stepped = _part_of(name, share).round(digits) + 0.0
    return pl.when(share < 1).then(stepped).otherwise(full).alias(f"suggested_{name}")


def _why_keep(as_of: date) -> pl.Expr:
    tried = pl.col("tried_line_count").fill_null(0)
    is_nearer = pl.col("gain_ratio") > pl.col("gain_error_ratio")
    return (
        pl.when(pl.col("how").is_null() | pl.col("change_ratio").is_null())
        .then(None)
        .when(pl.col("in_force_from") >= as_of.replace(day=1))
        .then(pl.format(THIS_MONTH, "in_force_from"))
        .when(pl.col("change_ratio") <= LEAST_CHANGE)
        .then(pl.lit(SMALL))
        .when(tried < LEAST_LINES)
        .then(pl.format(UNTRIED, tried))
        .when(~is_nearer)
        .then(pl.format(AS_GOOD, tried))
    )
