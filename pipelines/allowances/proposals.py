"""Suggested allowances, one for each material and job type."""

import polars as pl

from pipelines.allowances.guard import QUANTITY_DIGITS, RATIO_DIGITS, Standing, hold_against
from pipelines.allowances.job_sizes import KEY, size_jobs
from pipelines.allowances.sentences import write_sentence
from pipelines.calibration.blended_base import put_base
from pipelines.calibration.fits import Fits
from pipelines.calibration.kinds import CUT_KINDS, FITTED_KINDS
from pipelines.calibration.whole_pieces import load_in_pieces
from schemas.frames import shape_of

SPECIFIED_KINDS = frozenset({"resin", "topcoat", "mat", "board", "adhesive", "bandage", "fixing"})
"""Kinds whose base is what the roof is specified to hold: using less is never a saving."""

LEAST_QUANTITY = 10**-QUANTITY_DIGITS

BELOW_SOUND = (
    "below what a sound roof holds: {} {} would be charged on a job that needs {}; "
    "look at how these jobs were booked"
)


def suggest(
    fits: Fits,
    use_lines: pl.DataFrame,
    held_back: pl.DataFrame,
    standing: Standing | None = None,
) -> pl.DataFrame:
    """
    Turn fits into suggested allowances.

    charged = base + fixed loss + price ratio x base, loaded the same with the load ratio, which
    contains the price ratio and is never below it; base as `put_base` makes it. Where the fit says
    so the load is then rounded to whole pieces, which can bring it below the charge. Ratios are
    rounded to 4 digits and quantities to 3 first, so that a row adds up as it stands.

    Args:
        fits: of `fit_all` on the same lines.
        use_lines: what was fitted, as `fit_all` takes them, and the least_quantity of a sound roof
            where it is known.
        held_back: lines set aside from learning: material, job_type, held_back_count, and
            copied_count where it is known.
        standing: what is in force, and how the suggestions did on past jobs beside it; None:
            nothing is in force.

    Returns:
        One row per material of a fitted kind and job type, shaped as `result.proposal`, sorted
        by both. Figures on a job of usual size stand at the median base of the type, or of the
        material where the type has no job. A row that is not offered says why in words. It is
        not offered where too few jobs speak, where a job of the sizes on record would be
        charged less than the roof is specified to hold, or where what is in force does as well
        (`hold_against`). The full figures are what the jobs point to, the suggested ones the
        step towards it; both are the same where no step is held.

    """
    lines = use_lines.filter(pl.col("kind").is_in(FITTED_KINDS))
    fitted = put_base(lines.with_columns(specified_quantity=_specified(lines)), fits.fit)
    grid = pl.concat([fits.fit_rate.select(KEY), fitted.select(KEY)]).unique().sort(KEY)
    rows = (
        size_jobs(fitted, grid)
        .join(fits.fit.drop("base_unit"), on="material", how="left")
        .join(fits.fit_rate.drop("job_count"), on=KEY, how="left")
        .join(held_back, on=KEY, how="left")
        .join(_count_whole_packs(fitted), on=KEY, how="left")
        .pipe(_fill_counts)
        .with_columns(_ratios())
        .join(_size_in_force(lines, grid, standing), on=KEY, how="left")
        .pipe(hold_against, standing)
        .with_columns(_quantities())
        .pipe(_count_short, fitted)
        .with_columns(why_not=_why_not())
        .with_columns(is_offered=pl.col("why_not").is_null())
        .sort(KEY)
    )
    sentences = [write_sentence(row) for row in rows.iter_rows(named=True)]
    shape = shape_of("result.proposal")
    written = rows.with_columns(sentence=pl.Series(sentences, dtype=pl.String))
    return written.select(pl.col(name).cast(dtype) for name, dtype in shape.items())


def _count_short(rows: pl.DataFrame, fitted: pl.DataFrame) -> pl.DataFrame:
    """Count the jobs on record that took more than the suggestion would have loaded on them."""
    figures = ("suggested_fixed_loss", "suggested_load_ratio", "piece_quantity", "piece_shift")
    load = load_in_pieces(_use_at(pl.col("base_quantity"), "suggested", "load"))
    short = (
        fitted.select(*KEY, "base_quantity", "used_quantity")
        .join(rows.select(*KEY, *figures), on=KEY)
        .group_by(KEY)
        .agg(short_count=(pl.col("used_quantity") > load + LEAST_QUANTITY / 2).sum())
    )
    return rows.join(short, on=KEY, how="left")


def _count_whole_packs(use_lines: pl.DataFrame) -> pl.DataFrame:
    if "whole_pack_quantity" not in use_lines.columns:
        return use_lines.select(KEY).unique().with_columns(whole_pack_count=pl.lit(0))
    return use_lines.group_by(KEY).agg(whole_pack_count=pl.col("whole_pack_quantity").count())


def _fill_counts(rows: pl.DataFrame) -> pl.DataFrame:
    counts = ("held_back_count", "copied_count", "whole_pack_count")
    known = [pl.col(name) if name in rows.columns else pl.lit(None).alias(name) for name in counts]
    return rows.with_columns(each.cast(pl.Int64).fill_null(0) for each in known)


def _size_in_force(
    lines: pl.DataFrame, grid: pl.DataFrame, standing: Standing | None
) -> pl.DataFrame:
    """Return the usual base of each job type on the base of what is in force there."""
    if standing is None:
        return grid.with_columns(stands_base_quantity=pl.lit(None, pl.Float64))
    based = put_base(lines.with_columns(specified_quantity=0.0), standing.in_force)
    return size_jobs(based, grid).select(*KEY, stands_base_quantity="typical_base_quantity")


def _specified(lines: pl.DataFrame) -> pl.Expr:
    # of what is cut the bare need: no roof is the worse for a crew that beats the best plan
    specified = [name for name in ("least_quantity",) if name in lines.columns]
    if "net_quantity" not in lines.columns:
        return pl.max_horizontal("base_quantity", *specified)
    is_cut = pl.col("kind").is_in(CUT_KINDS)
    need = pl.when(is_cut).then("net_quantity").otherwise("base_quantity")
    return pl.max_horizontal(need, *specified)


def _ratios() -> list[pl.Expr]:
    pooled = pl.col("pooled_ratio")
    price = _round_ratio(pooled + pl.col("mean_error_ratio"))
    fitted = pl.coalesce("fitted_load_ratio", pooled + pl.col("error_ratio"))
    load = pl.max_horizontal(_round_ratio(fitted), price)
    return [
        pl.when(pl.col("kind").is_in(SPECIFIED_KINDS))
        .then("largest_specified_quantity")
        .alias("least_charge"),
        pl.col("fitted_fixed_loss").round(QUANTITY_DIGITS).alias("full_fixed_loss"),
        price.alias("full_price_ratio"),
        load.alias("full_load_ratio"),
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
    return [
        _use_at(typical, "suggested", "price").alias("charged_quantity"),
        _load_at(typical, "suggested").alias("loaded_quantity"),
        _use_at(typical, "full", "price").alias("charged_in_full"),
        _load_at(typical, "full").alias("loaded_in_full"),
        _use_at(largest, "suggested", "price").alias("charged_on_largest"),
    ]


def _use_at(base: pl.Expr, which: str, ratio: str) -> pl.Expr:
    on_base = pl.col(f"{which}_{ratio}_ratio") * base
    return (base + pl.col(f"{which}_fixed_loss") + on_base).round(QUANTITY_DIGITS)


def _load_at(base: pl.Expr, which: str) -> pl.Expr:
    return load_in_pieces(_use_at(base, which, "load")).round(QUANTITY_DIGITS)


def _why_not() -> pl.Expr:
    # the largest job decides: the loss per job weighs least there
    short = pl.col("charged_on_largest") < pl.col("least_charge")
    below = pl.format(BELOW_SOUND, "charged_on_largest", "base_unit", "least_charge")
    return (
        pl.when(pl.col("suggested_price_ratio").is_null())
        .then(pl.col("note"))
        .when(short)
        .then(below)
        .otherwise(pl.col("why_keep"))
    )
