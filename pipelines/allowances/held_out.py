"""What the jobs of a month would have been charged and loaded, from the jobs before it alone."""

from collections.abc import Sequence
from datetime import date

import polars as pl

from pipelines.allowances.job_sizes import KEY
from pipelines.allowances.proposals import QUANTITY_DIGITS, suggest
from pipelines.calibration.blended_base import put_base
from pipelines.calibration.fits import fit_all
from pipelines.calibration.whole_pieces import load_in_pieces

AS_SUGGESTED = "as suggested"
FLAT_TENTH = "a tenth on top"
ONE_RATIO = "one ratio"

FLAT_RATIO = 0.1

_NOTHING_HELD_BACK = pl.DataFrame(
    schema={"material": pl.String, "job_type": pl.String, "held_back_count": pl.Int64}
)
_JOB = ("material", "job_ref", "completed_on")


def foretell_month(
    use_lines: pl.DataFrame, first_on: date, load_share: float, job_types: Sequence[str]
) -> pl.DataFrame:
    """
    Say what each job of a month would have been charged and loaded, in three ways.

    As suggested: the three figures of the suggestion that stood on the first of the month, as a
    decision would take them. A tenth on top: base and a tenth of it. One ratio: base times what
    the jobs before used over their base. These two load what they charge.

    Args:
        use_lines: as `fit_all` takes them, of any months; used_quantity is read only where the
            job was finished before `first_on`.
        first_on: the first day of the month.
        load_share: share of jobs that shall not run short, between 0 and 1.
        job_types: job types that get a suggestion even without a job.

    Returns:
        One row per material, job of the month, and method: material, job_ref, completed_on,
        method, charged_quantity, loaded_quantity, in base units, before anything is rounded up
        to packs or whole lengths. A line for which nothing was suggested by then, or whose
        suggestion was not offered, is left out of all three ways, so that they face the same
        lines.

    """
    finished = pl.col("completed_on")
    before = use_lines.filter(finished < first_on)
    month = use_lines.filter(finished >= first_on, finished < pl.lit(first_on).dt.offset_by("1mo"))
    suggested = _suggest_from(before, load_share, job_types, first_on)
    used, base = pl.col("used_quantity").sum(), pl.col("base_quantity").sum()
    ratios = before.sort(*_JOB).group_by("material").agg(one_ratio=used / base - 1)
    asked = (
        _put_suggested_base(month, suggested)
        .join(suggested, on=KEY, how="inner")
        .join(ratios, on="material", how="inner")
        .sort(_JOB)
    )
    return pl.concat(
        [
            _foretell_suggested(asked),
            _foretell_plainly(asked, FLAT_TENTH, "flat_ratio"),
            _foretell_plainly(asked, ONE_RATIO, "one_ratio"),
        ]
    )


def _put_suggested_base(month: pl.DataFrame, suggested: pl.DataFrame) -> pl.DataFrame:
    """Put the suggestion's base beside the plain one; a line without it is left out."""
    blends = suggested.select("material", "blend_ratio").unique()
    lines = put_base(month.with_columns(plain_quantity="base_quantity"), blends)
    if "piece_quantity" not in lines.columns:
        lines = lines.with_columns(piece_quantity=pl.lit(None, pl.Float64))
    return lines.select(*_JOB, "job_type", "base_quantity", "plain_quantity", "piece_quantity")


def _suggest_from(
    before: pl.DataFrame, load_share: float, job_types: Sequence[str], first_on: date
) -> pl.DataFrame:
    fits = fit_all(before, load_share, job_types, first_on)
    return (
        suggest(fits, before, _NOTHING_HELD_BACK)
        .filter("is_offered")
        .select(
            *KEY,
            fixed_loss="suggested_fixed_loss",
            price_ratio="suggested_price_ratio",
            load_ratio="suggested_load_ratio",
            blend_ratio="suggested_blend_ratio",
            piece_shift="suggested_piece_shift",
            flat_ratio=pl.lit(FLAT_RATIO),
        )
    )


def _foretell_suggested(asked: pl.DataFrame) -> pl.DataFrame:
    base = pl.col("base_quantity")

    def use_at(ratio: str) -> pl.Expr:
        return (base + pl.col("fixed_loss") + pl.col(ratio) * base).round(QUANTITY_DIGITS)

    return asked.select(
        *_JOB,
        method=pl.lit(AS_SUGGESTED),
        charged_quantity=use_at("price_ratio"),
        loaded_quantity=load_in_pieces(use_at("load_ratio")).round(QUANTITY_DIGITS),
    )


def _foretell_plainly(asked: pl.DataFrame, method: str, ratio: str) -> pl.DataFrame:
    use = (pl.col("plain_quantity") * (1 + pl.col(ratio))).round(QUANTITY_DIGITS)
    return asked.select(*_JOB, method=pl.lit(method), charged_quantity=use, loaded_quantity=use)
