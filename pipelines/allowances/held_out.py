"""What the jobs of a month would have been charged and loaded, from the jobs before it alone."""

from collections.abc import Sequence
from datetime import date

import polars as pl

from pipelines.allowances.guard import QUANTITY_DIGITS
from pipelines.allowances.job_sizes import KEY
from pipelines.allowances.proposals import suggest
from pipelines.allowances.ways import AS_ALLOWED, AS_SUGGESTED, list_plain_ways
from pipelines.calibration.fits import fit_all

_NOTHING_HELD_BACK = pl.DataFrame(
    schema={"material": pl.String, "job_type": pl.String, "held_back_count": pl.Int64}
)
_LINE = ("material", "job_ref")
_ASKED = (*_LINE, "job_type", "completed_on", "base_quantity")
_FORETOLD = (*_ASKED, "method", "load_share_ratio", "charged_quantity", "loaded_quantity")


def foretell_month(
    use_lines: pl.DataFrame,
    allowed_then: pl.DataFrame,
    first_on: date,
    load_share: float,
    job_types: Sequence[str],
) -> pl.DataFrame:
    """
    Say what each job of a month would have been charged and loaded, in several ways.

    As suggested: the three figures of the suggestion that stood on the first of the month, as a
    decision would take them. As allowed: what stood then (`allowed_then`). The plain ways are
    those of `list_plain_ways`.

    Args:
        use_lines: as `fit_all` takes them, of any months; used_quantity is read only where the
            job was finished before `first_on`.
        allowed_then: what was in force for a job: material, job_ref, charged_quantity,
            loaded_quantity.
        first_on: the first day of the month.
        load_share: share of jobs that shall not run short, between 0 and 1.
        job_types: job types that get a suggestion even without a job.

    Returns:
        One row per material, job of the month, and method: material, job_ref, job_type,
        completed_on, base_quantity, method, load_share_ratio, charged_quantity, loaded_quantity,
        in base units, before anything is rounded up to packs or whole lengths. A line for which
        nothing was suggested by then, or whose suggestion was not offered, is left out of all
        ways, so that they face the same lines; so is, as allowed, a line of which nothing is
        known to have been allowed.

    """
    finished = pl.col("completed_on")
    before = use_lines.filter(finished < first_on)
    month = use_lines.filter(finished >= first_on, finished < pl.lit(first_on).dt.offset_by("1mo"))
    suggested = _suggest_from(before, load_share, job_types, first_on)
    asked = month.select(_ASKED).join(suggested.select(KEY), on=KEY)
    ways = pl.concat(
        [suggested, list_plain_ways(asked.select(KEY).unique().sort(KEY), before, load_share)]
    )
    foretold = asked.join(ways, on=KEY).with_columns(
        charged_quantity=_use_at("price_ratio"), loaded_quantity=_use_at("load_ratio")
    )
    allowed = allowed_then.select(*_LINE, "charged_quantity", "loaded_quantity")
    stood = asked.join(allowed, on=_LINE).with_columns(method=pl.lit(AS_ALLOWED))
    share = pl.lit(load_share).alias("load_share_ratio")
    return pl.concat([ways.with_columns(share).select(_FORETOLD) for ways in (foretold, stood)])


def _suggest_from(
    before: pl.DataFrame, load_share: float, job_types: Sequence[str], first_on: date
) -> pl.DataFrame:
    fits = fit_all(before, load_share, job_types, first_on)
    return (
        suggest(fits, before, _NOTHING_HELD_BACK)
        .filter("is_offered")
        .select(
            *KEY,
            method=pl.lit(AS_SUGGESTED),
            fixed_loss="suggested_fixed_loss",
            price_ratio="suggested_price_ratio",
            load_ratio="suggested_load_ratio",
        )
    )


def _use_at(ratio: str) -> pl.Expr:
    base = pl.col("base_quantity")
    return (base + pl.col("fixed_loss") + pl.col(ratio) * base).round(QUANTITY_DIGITS)
