"""Suggested allowances as a person reads them, from the published warehouse."""

from pathlib import Path
from typing import Any

import polars as pl

from pipelines.month.allowance_sums import read_sums
from pipelines.month.folder import open_folder
from pipelines.warehouse.connection import open_for_reading
from pipelines.warehouse.tables import fetch

_KEYS = ["material", "job_type"]
_IN_FORCE = (
    "how", "in_force_from", "in_force_fixed_loss", "in_force_price_ratio", "in_force_load_ratio",
    "in_force_blend_ratio", "in_force_piece_shift", "suggested_blend_ratio",
    "suggested_piece_shift",
)  # fmt: skip


def read_allowances(root: Path, material: str | None = None) -> pl.DataFrame:
    """
    Return one row a material and job type, most money at stake first.

    Columns: material, job_type, base_unit, job_count, allowed_rate, rate_label, suggested_rate,
    how (decided, as quoted), in_force_from, in_force_fixed_loss, in_force_price_ratio,
    in_force_load_ratio, in_force_blend_ratio, in_force_piece_shift, suggested_blend_ratio,
    suggested_piece_shift, suggested_fixed_loss, suggested_price_ratio, suggested_load_ratio,
    is_offered, `says` (in force beside suggested in words), `reason`, `by_size` (what it comes
    to on roofs of four sizes, in words, or null) and `sums` (the figures behind it, as `read_sums`
    gives them).
    """
    with open_for_reading(open_folder(root).warehouse) as published:
        suggestions = fetch(published, "page.suggestion")
        rates = fetch(published, "page.allowance")
        standing = fetch(published, "page.decision", [*_KEYS, *_IN_FORCE])
        sizes = _say_sizes(fetch(published, "page.suggestion_by_size"))
        sums = read_sums(published)
    rates = rates.select(*_KEYS, "rate_label", "allowed_rate", "suggested_rate")
    rows = suggestions.join(rates, on=_KEYS, how="left", maintain_order="left")
    rows = rows.join(standing, on=_KEYS, how="left", maintain_order="left")
    for beside in (sizes, sums):
        rows = rows.join(beside, on=_KEYS, how="left", maintain_order="left")
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
        "by_size",
        "sums",
    )


def _say_sizes(sizes: pl.DataFrame) -> pl.DataFrame:
    """Return `by_size` of each material and job type, in words."""
    parts = sizes.sort(*_KEYS, "size").partition_by(_KEYS, maintain_order=True)
    said = [(*part.row(0)[:2], _say_size(part)) for part in parts]
    return pl.DataFrame(said, schema=dict.fromkeys((*_KEYS, "by_size"), pl.String), orient="row")


def _say_size(part: pl.DataFrame) -> str:
    """Return "for 5, 10, 20, 40 m²: now 7.5, ... kg; then 9.1, ... to charge, ... to load"."""
    told = {
        name: ", ".join(f"{value:.1f}" for value in part[name].drop_nulls())
        for name in ("allowed_quantity", "charged_quantity", "loaded_quantity")
    }
    row = part.row(0, named=True)
    now = f"now {told['allowed_quantity']} {row['base_unit']}; " if told["allowed_quantity"] else ""
    return (
        f"for {', '.join(str(size) for size in part['size'])} {row['size_label']}: {now}then "
        f"{told['charged_quantity']} {row['base_unit']} to charge, "
        f"{told['loaded_quantity']} to load"
    )


def _says(row: dict[str, Any]) -> str:
    standing = f"you allow {_rate(row['allowed_rate'], row)}{_in_force(row)}"
    if not row["is_offered"]:
        return f"{standing}; nothing is suggested"
    suggested = _rate(row["suggested_rate"], row)
    step = ", of which the step for now is" if row["sums"]["is_step_limited"] else ""
    return f"{standing}; your jobs suggest {suggested}{step} ({_as_decided(row, 'suggested')})"


def _in_force(row: dict[str, Any]) -> str:
    if row["how"] is None:
        return ""
    since = f"decided, from {row['in_force_from']}" if row["in_force_from"] else row["how"]
    return f" ({since}: {_as_decided(row, 'in_force')})"


def _as_decided(row: dict[str, Any], which: str) -> str:
    """Return the three figures of a decision, each with what it is added to."""
    return (
        f"{row[f'{which}_fixed_loss']:.2f} {row['base_unit']} on every job, and over what "
        f"{_base(row[f'{which}_blend_ratio'])} {row[f'{which}_price_ratio']:+.1%} to charge, "
        f"{row[f'{which}_load_ratio']:+.1%} to load"
        f"{'' if row[f'{which}_piece_shift'] is None else ' in whole pieces'}"
    )


def _base(blend_ratio: float | None) -> str:
    if not blend_ratio:
        return "the roof needs"
    return f"the best plan takes and {blend_ratio:.0%} of what re-use could save"


def _rate(value: object, row: dict[str, Any]) -> str:
    return f"{value:.2f} {row['rate_label']}" if isinstance(value, float) else "no known rate"
