"""Ways of allowing that are tried on past jobs, and the plain ones among them."""

import polars as pl

from pipelines.allowances.job_sizes import KEY
from pipelines.calibration.misses import ROUNDING

AS_SUGGESTED = "as suggested"
AS_ALLOWED = "as allowed"
FLAT_TENTH = "a tenth on top"
ONE_RATIO = "one ratio"
TYPE_MEAN = "mean of the type"
TYPE_SHARE = "share of the type"

FLAT_RATIO = 0.1

_FIGURES = ("fixed_loss", "price_ratio", "load_ratio")


def list_plain_ways(asked: pl.DataFrame, before: pl.DataFrame, load_share: float) -> pl.DataFrame:
    """
    Give the three figures of an allowance, in four plain ways.

    A tenth on top: a tenth of the base. One ratio: what the jobs before used over their base,
    less 1. Mean of the type: the same over the jobs of the type. Share of the type: the mean
    charged, and loaded what `load_share` of the type's jobs stayed within (rank share x
    (count + 1), rounded up; the largest where few can tell). A type without a job before has the
    figures of all jobs.

    Args:
        asked: the pairs of material and job_type that are asked about, each once.
        before: the jobs before, as `fit_all` takes them.
        load_share: share of jobs that shall not run short, between 0 and 1.

    Returns:
        One row per material, job type and method: material, job_type, method, fixed_loss,
        price_ratio, load_ratio. Materials without a job before are left out.

    """
    of_all = _sum_up(before, ["material"], load_share).rename(
        {"mean_ratio": "mean_of_all", "share_ratio": "share_of_all"}
    )
    of_type = _sum_up(before, [*KEY], load_share)
    known = asked.join(of_all, on="material").join(of_type, on=KEY, how="left")
    mean = pl.coalesce("mean_ratio", "mean_of_all")
    share = pl.max_horizontal(pl.coalesce("share_ratio", "share_of_all"), mean)
    tenth = pl.lit(FLAT_RATIO)
    return pl.concat(
        [
            _name(known, FLAT_TENTH, tenth, tenth),
            _name(known, ONE_RATIO, pl.col("mean_of_all"), pl.col("mean_of_all")),
            _name(known, TYPE_MEAN, mean, mean),
            _name(known, TYPE_SHARE, mean, share),
        ]
    )


def _sum_up(before: pl.DataFrame, keys: list[str], load_share: float) -> pl.DataFrame:
    used, base = pl.col("used_quantity"), pl.col("base_quantity")
    wanted = ((pl.len() + 1) * load_share - ROUNDING).ceil()
    rank = pl.min_horizontal(wanted, pl.len()).cast(pl.Int64)
    return (
        before.sort("completed_on", "job_ref")
        .group_by(keys)
        .agg(
            mean_ratio=used.sum() / base.sum() - 1,
            share_ratio=(used / base - 1).sort().get(rank - 1),
        )
    )


def _name(known: pl.DataFrame, method: str, price: pl.Expr, load: pl.Expr) -> pl.DataFrame:
    figures = zip(_FIGURES, (pl.lit(0.0), price, load), strict=True)
    return known.select(*KEY, method=pl.lit(method), **dict(figures))
