"""The sums behind a suggested allowance: every figure that its sentence is made from."""

import polars as pl

from pipelines.warehouse.connection import Connection
from pipelines.warehouse.tables import fetch

_KEYS = ("material", "job_type")
_OF_MATERIAL = (
    "line_count", "effective_job_count", "capped_count", "reference_quantity",
    "fitted_fixed_loss", "error_ratio", "mean_error_ratio", "load_share_ratio", "scatter_ratio",
    "type_spread_ratio", "size_spread_ratio",
)  # fmt: skip
_OF_TYPE = ("own_ratio", "trust_ratio", "others_ratio", "pooled_ratio")
_OF_SUGGESTION = (
    "held_back_count", "low_ratio", "high_ratio", "typical_base_quantity", "full_fixed_loss",
    "full_price_ratio", "full_load_ratio", "change_ratio", "is_step_limited", "tried_line_count",
    "gain_ratio", "gain_error_ratio",
)  # fmt: skip


def read_sums(published: Connection) -> pl.DataFrame:
    """
    Return material, job_type and `sums`, one row a suggestion.

    pooled_ratio = trust_ratio x own_ratio + (1 - trust_ratio) x others_ratio; full_price_ratio =
    pooled_ratio + mean_error_ratio and full_load_ratio = pooled_ratio + error_ratio, to 4 digits,
    the load never below the price. type_effective_job_count is what the type's own jobs count
    by their age. The suggested figures are a step towards the full ones where is_step_limited. The
    change is offered where gain_ratio is above gain_error_ratio on 20 lines or more. Figures are
    null where too few jobs speak or nothing is in force.
    """
    fits = fetch(published, "result.fit").select("material", *_OF_MATERIAL)
    own = pl.col("effective_job_count").alias("type_effective_job_count")
    rates = fetch(published, "result.fit_rate").select(*_KEYS, own, *_OF_TYPE)
    suggestions = fetch(published, "result.proposal").select(*_KEYS, *_OF_SUGGESTION)
    known = suggestions.join(fits, on="material", how="left").join(rates, on=_KEYS, how="left")
    names = (*_OF_MATERIAL, "type_effective_job_count", *_OF_TYPE, *_OF_SUGGESTION)
    return known.select(*_KEYS, sums=pl.struct(names))
