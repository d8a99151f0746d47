"""Suggested allowances as a person reads them, from the published warehouse."""

from pathlib import Path
from typing import Any

import polars as pl

from pipelines.month.folder import open_folder
from pipelines.warehouse.connection import open_for_reading
from pipelines.warehouse.tables import fetch


def read_allowances(root: Path, material: str | None = None) -> pl.DataFrame:
    """
    Return one row a material and job type, most money at stake first.

    Columns: material, job_type, base_unit, job_count, allowed_rate, rate_label, suggested_rate,
    suggested_fixed_loss, suggested_price_ratio, suggested_load_ratio, is_offered, `says` (allowed
    beside suggested in words) and `reason`.
    """
    with open_for_reading(open_folder(root).warehouse) as published:
        suggestions = fetch(published, "page.suggestion")
        rates = fetch(published, "page.allowance")
    keys = ["material", "job_type"]
    rates = rates.select(*keys, "rate_label", "allowed_rate", "suggested_rate")
    rows = suggestions.join(rates, on=keys, how="left", maintain_order="left")
    if material is not None:
        rows = rows.filter(pl.col("material") == material)
    says = [_says(row) for row in rows.iter_rows(named=True)]
    return rows.select(
        *keys,
        "base_unit",
        "job_count",
        "rate_label",
        "allowed_rate",
        "suggested_rate",
        "suggested_fixed_loss",
        "suggested_price_ratio",
        "suggested_load_ratio",
        "is_offered",
        pl.Series("says", says, dtype=pl.String),
        pl.coalesce("why_not", "sentence", pl.lit("")).alias("reason"),
    )


def _says(row: dict[str, Any]) -> str:
    allowed = _rate(row["allowed_rate"], "no rule")
    if not row["is_offered"]:
        return f"you allow {allowed}; nothing is suggested"
    suggested = _rate(row["suggested_rate"], "not known")
    label = row["rate_label"] or ""
    return f"you allow {allowed}, your jobs suggest {suggested} {label}".rstrip() + _as_decided(row)


def _as_decided(row: dict[str, Any]) -> str:
    """Return the three figures of a decision, each with what it is added to."""
    return (
        f" ({row['suggested_fixed_loss']:.2f} {row['base_unit']} on every job, and over what the "
        f"roof needs {row['suggested_price_ratio']:+.1%} to charge, "
        f"{row['suggested_load_ratio']:+.1%} to load)"
    )


def _rate(value: object, otherwise: str) -> str:
    return f"{value:.2f}" if isinstance(value, float) else otherwise
