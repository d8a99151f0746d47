"""What the jobs of a month would have been charged and loaded, from the jobs before it alone."""

from collections.abc import Sequence
from datetime import date

import polars as pl

from pipelines.allowances.guard import QUANTITY_DIGITS
from pipelines.allowances.job_sizes import KEY
from pipelines.allowances.proposals import suggest
from pipelines.allowances.ways import AS_ALLOWED, AS_SUGGESTED, list_plain_ways
from pipelines.calibration.blended_base import put_base, take_plans
from pipelines.calibration.drift import fade_before
from pipelines.calibration.fits import fit_all
from pipelines.calibration.kinds import CUT_KINDS
from pipelines.calibration.whole_pieces import load_in_pieces

_NOTHING_HELD_BACK = pl.DataFrame(
    schema={"material": pl.String, "job_type": pl.String, "held_back_count": pl.Int64}
)
_ON_BEST_PLAN = CUT_KINDS - {"mat"}
"""Kinds whose bare base is the best plan; of mat it is what the drawing needs."""

_LINE = ("material", "job_ref")
_ASKED = (*_LINE, "job_type", "completed_on", "base_quantity")
_FORETOLD = (*_ASKED, "method", "load_share_ratio", "charged_quantity", "loaded_quantity")


def foretell_month(
    use_lines: pl.DataFrame,
    allowed_then: pl.DataFrame,
    first_on: date,
    load_share: float,
    job_types: Sequence[str],
    *,
    drift: pl.DataFrame,
) -> pl.DataFrame:
    """
    Say what each job of a month would have been charged and loaded, in several ways.

    As suggested: the figures of the suggestion that stood on the first of the month, on its base
    and in whole pieces, as a decision would take them. As allowed: what stood then
    (`allowed_then`). The plain ways are those of `list_plain_ways`, on the bare base.

    Args:
        use_lines: as `fit_all` takes them, of any months; used_quantity is read only where the
            job was finished before `first_on`.
        allowed_then: what was in force for a job: material, job_ref, charged_quantity,
            loaded_quantity.
        first_on: the first day of the month.
        load_share: share of jobs that shall not run short, between 0 and 1.
        job_types: job types that get a suggestion even without a job.
        drift: as `fade_before` takes it; a change is known from the month after its signal.

    Returns:
        One row per material, job of the month, and method: material, job_ref, job_type,
        completed_on, base_quantity, method, load_share_ratio, charged_quantity, loaded_quantity,
        in base units, before anything is rounded up to packs; base_quantity is the bare base of
        all ways. A line for which
        nothing was suggested by then, or whose suggestion was not offered, is left out of all
        ways, so that they face the same lines; so is, as allowed, a line of which nothing is
        known to have been allowed.

    """
    finished = pl.col("completed_on")
    before = list_lines_before(use_lines, drift, first_on)
    month = use_lines.filter(finished >= first_on, finished < pl.lit(first_on).dt.offset_by("1mo"))
    suggested = _suggest_from(before, load_share, job_types, first_on)
    asked = _lay_bases(month, suggested)
    pairs = asked.select(KEY).unique().sort(KEY)
    plain = list_plain_ways(pairs, _put_plain_base(before), load_share)
    foretold = [_foretell_suggested(asked, suggested), _foretell_plainly(asked, plain)]
    allowed = allowed_then.select(*_LINE, "charged_quantity", "loaded_quantity")
    stood = asked.join(allowed, on=_LINE).with_columns(method=pl.lit(AS_ALLOWED))
    share = pl.lit(load_share).alias("load_share_ratio")
    return pl.concat([ways.with_columns(share).select(_FORETOLD) for ways in (*foretold, stood)])


def list_lines_before(use_lines: pl.DataFrame, drift: pl.DataFrame, first_on: date) -> pl.DataFrame:
    """
    Return the lines of jobs finished before a day, faded by what was plain by then, as in a run.

    Args:
        use_lines: as `fit_all` takes them.
        drift: as `fade_before` takes it.
        first_on: the day.

    """
    before = use_lines.filter(pl.col("completed_on") < first_on)
    return fade_before(before, drift.filter(pl.col("signal_on") < first_on))


def _lay_bases(month: pl.DataFrame, suggested: pl.DataFrame) -> pl.DataFrame:
    """Lay the suggestion's base beside the plain one; a line without it is left out."""
    blends = suggested.select("material", "blend_ratio").unique()
    known = _put_plain_base(month).with_columns(plain_quantity="base_quantity")
    lines = put_base(known, blends)
    if "piece_quantity" not in lines.columns:
        lines = lines.with_columns(piece_quantity=pl.lit(None, pl.Float64))
    return (
        lines.rename(
            {"base_quantity": "suggested_base_quantity", "plain_quantity": "base_quantity"}
        )
        .select(*_ASKED, "suggested_base_quantity", "piece_quantity")
        .join(suggested.select(KEY), on=KEY)
    )


def _put_plain_base(lines: pl.DataFrame) -> pl.DataFrame:
    """Put the plans that the quote knew under the plain ways too: a suggestion stands on them."""
    planned = pl.col("kind").is_in(_ON_BEST_PLAN)
    plan = pl.coalesce("best_quantity", "base_quantity")
    base = pl.when(planned).then(plan).otherwise("base_quantity")
    return take_plans(lines).with_columns(base_quantity=base).select(lines.columns)


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
            blend_ratio="suggested_blend_ratio",
            piece_shift="suggested_piece_shift",
        )
    )


def _foretell_suggested(asked: pl.DataFrame, suggested: pl.DataFrame) -> pl.DataFrame:
    base = "suggested_base_quantity"
    return asked.join(suggested, on=KEY).with_columns(
        charged_quantity=_use_at(base, "price_ratio"),
        loaded_quantity=load_in_pieces(_use_at(base, "load_ratio")).round(QUANTITY_DIGITS),
    )


def _foretell_plainly(asked: pl.DataFrame, ways: pl.DataFrame) -> pl.DataFrame:
    base = "base_quantity"
    return asked.join(ways, on=KEY).with_columns(
        charged_quantity=_use_at(base, "price_ratio"), loaded_quantity=_use_at(base, "load_ratio")
    )


def _use_at(base: str, ratio: str) -> pl.Expr:
    on_base = pl.col(ratio) * pl.col(base)
    return (pl.col(base) + pl.col("fixed_loss") + on_base).round(QUANTITY_DIGITS)
