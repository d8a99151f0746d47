"""The base of what is cut: between the best plan of a drawing and the plan that re-uses nothing."""

import polars as pl

from pipelines.calibration.kinds import CUT_KINDS

BLENDS = (0.0, 0.15, 0.3, 0.45, 0.6, 0.75, 0.9)
"""Shares of what re-use could save that a crew may leave unsaved."""

AS_QUOTED_WITHIN = 0.05
"""Share of the area up to which a roof as fitted is the roof that was quoted."""

PLANS = ("best_quantity", "no_reuse_quantity")


def take_plans(lines: pl.DataFrame) -> pl.DataFrame:
    """
    Lay beside each line the two plans that its quote knew, `best_quantity` and `no_reuse_quantity`.

    Args:
        lines: as `fit_all` takes them. quoted_best_quantity and quoted_no_reuse_quantity stand
            where area_m2 is within `AS_QUOTED_WITHIN` of quoted_area_m2, since what is allowed
            must pay for the error of measuring; elsewhere the roof was changed, and the plans as
            fitted stand. Plans that no column holds are those of `base_quantity`.

    """
    known = _fill_missing(lines)
    apart = (pl.col("area_m2") / pl.col("quoted_area_m2") - 1).abs()
    plans = [pl.col(f"quoted_{name}") for name in PLANS]
    is_quoted = (apart <= AS_QUOTED_WITHIN) & pl.all_horizontal(
        plan.is_not_null() for plan in plans
    )
    return known.with_columns(
        pl.when(is_quoted.fill_null(value=False)).then(f"quoted_{name}").otherwise(name).alias(name)
        for name in PLANS
    )


def _fill_missing(lines: pl.DataFrame) -> pl.DataFrame:
    if set(PLANS) <= set(lines.columns):
        return lines
    base = [pl.col("base_quantity").alias(name) for name in PLANS]
    blank = [
        pl.lit(None, pl.Float64).alias(name)
        for name in (*(f"quoted_{name}" for name in PLANS), "area_m2", "quoted_area_m2")
    ]
    return lines.with_columns(*base, *blank)


def blend(best: pl.Expr, no_reuse: pl.Expr, blend_ratio: pl.Expr) -> pl.Expr:
    """Return best + blend_ratio x (no_reuse - best): what a crew so far from the best uses up."""
    return best + blend_ratio * (no_reuse - best)


def put_base(lines: pl.DataFrame, blends: pl.DataFrame) -> pl.DataFrame:
    """
    Put the base that each material is fitted on in the place of `base_quantity`.

    Args:
        lines: as `take_plans` takes them, any number of materials.
        blends: material, blend_ratio, and job_type where they differ by it; null, or a material
            that is not named: the base stays.

    Returns:
        `lines`, their columns and their order as they were, without those whose base is then not
        above 0 or not known: a cut material without a plan of that job.

    """
    columns = lines.columns
    key = [name for name in ("material", "job_type") if name in blends.columns]
    best, no_reuse = (pl.col(name) for name in PLANS)
    blended = (
        take_plans(lines)
        .join(
            blends.select(*key, "blend_ratio"),
            on=key,
            how="left",
            maintain_order="left",
        )
        .with_columns(
            base_quantity=pl.when(pl.col("blend_ratio").is_null())
            .then("base_quantity")
            .otherwise(blend(best, no_reuse, pl.col("blend_ratio")))
        )
    )
    return blended.filter(pl.col("base_quantity") > 0).select(columns)


def are_planned(lines: pl.DataFrame) -> bool:
    """Say whether each line of a cut material, or any line of another, has its two plans."""
    cut = take_plans(lines).filter(pl.col("kind").is_in(CUT_KINDS))
    return not cut.select(PLANS).null_count().sum_horizontal().item()
