"""Suggested allowances as a person reads them, from the published warehouse."""

from pathlib import Path
from typing import Any

import polars as pl

from pipelines.month.folder import open_folder
from pipelines.warehouse.connection import open_for_reading
from pipelines.warehouse.tables import fetch

_KEYS = ["material", "job_type"]
_IN_FORCE = (
    "how", "in_force_from", "in_force_fixed_loss", "in_force_price_ratio", "in_force_load_ratio",
)  # fmt: skip


def read_allowances(root: Path, material: str | None = None) -> pl.DataFrame:
    """
    Return one row a material and job type, most money at stake first.

    Columns: material, job_type, base_unit, job_count, allowed_rate, rate_label, suggested_rate,
    how (decided, as quoted), in_force_from, in_force_fixed_loss, in_force_price_ratio,
    in_force_load_ratio, suggested_fixed_loss, suggested_price_ratio, suggested_load_ratio,
    is_offered, `says` (in force beside suggested in words) and `reason`.
    """
    with open_for_reading(open_folder(root).warehouse) as published:
        suggestions = fetch(published, "page.suggestion")
        rates = fetch(published, "page.allowance")
        standing = fetch(published, "page.decision", [*_KEYS, *_IN_FORCE])
    rates = rates.select(*_KEYS, "rate_label", "allowed_rate", "suggested_rate")
    rows = suggestions.join(rates, on=_KEYS, how="left", maintain_order="left")
    rows = rows.join(standing, on=_KEYS, how="left", maintain_order="left")
    if material is not None:
        rows = rows.filter(pl.col("material") == material)
    says = [_says(row) for row in rows.iter_rows(named=True)]
    return rows.select(
        *_KEYS,
        "base_unit",
        "job_count",
        "rate_label",
        "allowed_rate",
        "suggested_rate",
        *_IN_FORCE,
        "suggested_fixed_loss",
        "suggested_price_ratio",
        "suggested_load_ratio",
        "is_offered",
        pl.Series("says", says, dtype=pl.String),
        pl.coalesce("why_not", "sentence", pl.lit("")).alias("reason"),
    )


def _says(row: dict[str, Any]) -> str:
    standing = f"you allow {_rate(row['allowed_rate'], row)}{_in_force(row)}"
    if not row["is_offered"]:
        return f"{standing}; nothing is suggested"
    suggested = _rate(row["suggested_rate"], row)
    return f"{standing}; your jobs suggest {suggested} ({_as_decided(row, 'suggested')})"


def _in_force(row: dict[str, Any]) -> str:
    if row["how"] is None:
        return ""
    since = f"decided, from {row['in_force_from']}" if row["in_force_from"] else row["how"]
    return f" ({since}: {_as_decided(row, 'in_force')})"


def _as_decided(row: dict[str, Any], which: str) -> str:
    """Return the three figures of a decision, each with what it is added to."""
    return (
        f"{row[f'{which}_fixed_loss']:.2f} {row['base_unit']} on every job, and over what the "
        f"roof needs {row[f'{which}_price_ratio']:+.1%} to charge, "
        f"{row[f'{which}_load_ratio']:+.1%} to load"
    )


def _rate(value: object, row: dict[str, Any]) -> str:
    return f"{value:.2f} {row['rate_label']}" if isinstance(value, float) else "no known rate"
