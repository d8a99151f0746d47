"""Suggested allowances, one for each material and job type."""

import polars as pl

from pipelines.allowances.job_sizes import KEY, size_jobs
from pipelines.allowances.sentences import write_sentence
from pipelines.calibration.blended_base import put_base
from pipelines.calibration.fits import Fits
from pipelines.calibration.kinds import CUT_KINDS, FITTED_KINDS
from pipelines.calibration.whole_pieces import load_in_pieces
from schemas.frames import shape_of

SPECIFIED_KINDS = frozenset({"resin", "topcoat", "mat", "board", "adhesive", "bandage", "fixing"})
"""Kinds whose base is what the roof is specified to hold: using less is never a saving."""

QUANTITY_DIGITS = 3
RATIO_DIGITS = 4

BELOW_SOUND = (
    "below what a sound roof holds: {} {} would be charged on a job that needs {}; "
    "look at how these jobs were booked"
)


def suggest(fits: Fits, use_lines: pl.DataFrame, held_back: pl.DataFrame) -> pl.DataFrame:
    """
    Turn fits into suggested allowances.

    charged = base + fixed loss + price ratio x base, loaded the same with the load ratio, which
    contains the price ratio and is never below it; base as `put_base` makes it, load in whole
    pieces where the fit says so. Ratios are rounded to 4 digits and quantities
    to 3 first, so that a row adds up as it stands.

    Args:
        fits: of `fit_all` on the same lines.
        use_lines: what was fitted, as `fit_all` takes them.
        held_back: lines set aside from learning: material, job_type, held_back_count.

    Returns:
        One row per material of a fitted kind and job type, shaped as `result.proposal`, sorted
        by both. Figures on a job of usual size stand at the median base of the type, or of the
        material where the type has no job. A row that is not offered says why in words. It is
        not offered where too few jobs speak, or where a job of the sizes on record would be
        charged less than the roof is specified to hold.

    """
    lines = use_lines.filter(pl.col("kind").is_in(FITTED_KINDS))
    fitted = put_base(lines.with_columns(specified_quantity=_specified(lines)), fits.fit)
    grid = pl.concat([fits.fit_rate.select(KEY), fitted.select(KEY)]).unique().sort(KEY)
    rows = (
        size_jobs(fitted, grid)
        .join(fits.fit.drop("base_unit"), on="material", how="left")
        .join(fits.fit_rate.drop("job_count"), on=KEY, how="left")
        .join(held_back, on=KEY, how="left")
        .with_columns(pl.col("held_back_count").fill_null(0).cast(pl.Int64))
        .with_columns(_ratios())
        .with_columns(_quantities())
        .with_columns(why_not=_why_not())
        .with_columns(is_offered=pl.col("why_not").is_null())
        .sort(KEY)
    )
    sentences = [write_sentence(row) for row in rows.iter_rows(named=True)]
    shape = shape_of("result.proposal")
    written = rows.with_columns(sentence=pl.Series(sentences, dtype=pl.String))
    return written.select(pl.col(name).cast(dtype) for name, dtype in shape.items())


def _specified(lines: pl.DataFrame) -> pl.Expr:
    # of what is cut the bare need: no roof is the worse for a crew that beats the best plan
    if "net_quantity" not in lines.columns:
        return pl.col("base_quantity")
    return pl.when(pl.col("kind").is_in(CUT_KINDS)).then("net_quantity").otherwise("base_quantity")


def _ratios() -> list[pl.Expr]:
    pooled = pl.col("pooled_ratio")
    price = _round_ratio(pooled + pl.col("mean_error_ratio"))
    fitted = pl.coalesce("fitted_load_ratio", pooled + pl.col("error_ratio"))
    load = pl.max_horizontal(_round_ratio(fitted), price)
    return [
        pl.col("fitted_fixed_loss").round(QUANTITY_DIGITS).alias("suggested_fixed_loss"),
        price.alias("suggested_price_ratio"),
        load.alias("suggested_load_ratio"),
        pl.col("blend_ratio").alias("suggested_blend_ratio"),
        pl.col("piece_shift").alias("suggested_piece_shift"),
        _round_ratio(pooled + _spread() * pl.col("low_error_ratio")).alias("low_ratio"),
        _round_ratio(pooled + _spread() * pl.col("high_error_ratio")).alias("high_ratio"),
    ]


def _spread() -> pl.Expr:
    size = pl.col("reference_quantity") / pl.col("typical_base_quantity")
    growing = pl.col("size_spread_ratio")
    return (1 - growing + growing * size**2).sqrt()


def _round_ratio(ratio: pl.Expr) -> pl.Expr:
    # 0.0 is added so that a figure just below nothing does not print as -0.0
    return ratio.round(RATIO_DIGITS) + 0.0


def _quantities() -> list[pl.Expr]:
    typical, largest = pl.col("typical_base_quantity"), pl.col("largest_base_quantity")
    price = pl.col("suggested_price_ratio")
    return [
        _use_at(typical, price).alias("charged_quantity"),
        load_in_pieces(_use_at(typical, pl.col("suggested_load_ratio")))
        .round(QUANTITY_DIGITS)
        .alias("loaded_quantity"),
        _use_at(largest, price).alias("charged_on_largest"),
    ]


def _use_at(base: pl.Expr, ratio: pl.Expr) -> pl.Expr:
    return (base + pl.col("suggested_fixed_loss") + ratio * base).round(QUANTITY_DIGITS)


def _why_not() -> pl.Expr:
    # the largest job decides: the loss per job weighs least there
    specified = pl.col("kind").is_in(SPECIFIED_KINDS)
    short = pl.col("charged_on_largest") < pl.col("largest_specified_quantity")
    below = pl.format(BELOW_SOUND, "charged_on_largest", "base_unit", "largest_specified_quantity")
    return (
        pl.when(pl.col("suggested_price_ratio").is_null())
        .then(pl.col("note"))
        .when(specified & short)
        .then(below)
    )
