"""The data dictionary: every column that a firm may hand in, written from its one description."""

from typing import Any

import polars as pl

from reports.templates import closed_list
from schemas.columns import describe_column
from schemas.record import Record
from schemas.records import RECORDS

_UNITS_BY_ENDING = (
    ("_g_per_m2", "g per m²"), ("_kg_per_l", "kg per litre"), ("_per_m2", "base unit per m²"),
    ("_per_kg", "per kg"), ("_mm", "mm"), ("_m2", "m²"), ("_kg", "kg"), ("_gbp", "GBP ex VAT"),
    ("_days", "days"), ("_ratio", "share, 0.12 not 12"), ("_pct", "per cent"), ("_c", "°C"),
    ("_quantity", "unit of the row"), ("_loss", "base unit"),
)  # fmt: skip
_UNITS = {
    "g_per_m2": "g per m²",
    "quantity": "unit of the row",
    "pack_size": "unit of the row",
    "gbp": "GBP ex VAT",
    "full_packs": "packs",
    "packs": "packs",
}
_BOUNDS = ("min_value", "max_value")


def write_dictionary() -> str:
    """Return the data dictionary as Markdown: a heading and a table for every record."""
    parts = [
        "# Data dictionary",
        (
            "What a firm may hand in. A blank says nothing; only required columns must be filled. "
            "Dates are written 2026-03-01."
        ),
        *(_describe_record(record) for record in RECORDS.values()),
    ]
    return "\n\n".join(parts) + "\n"


def _describe_record(record: Record) -> str:
    lines = [
        f"## {record.name}",
        "",
        f"{record.says} Key: {', '.join(record.key)}.",
        "",
        "| column | required | type | unit | limits | source of the limit | words |",
        "| --- | --- | --- | --- | --- | --- | --- |",
        *(_describe_column(record, name) for name in record.columns),
    ]
    if record.rules:
        lines += ["", "Rules across columns:", ""]
        lines += [f"- `{rule.column}` {rule.says}: rejected." for rule in record.rules]
    return "\n".join(lines)


def _describe_column(record: Record, name: str) -> str:
    column = describe_column(record.name, name)
    cells = (
        f"`{name}`",
        "yes" if name in record.required else "",
        _type_of(column["dtype"]),
        unit_of(name, column["dtype"]),
        limits_of(record, name),
        column["source"] if limits_of(record, name) else "",
        column["description"],
    )
    return f"| {' | '.join(cell.replace('|', '/') for cell in cells)} |"


def _type_of(dtype: Any) -> str:  # noqa: ANN401 - a polars type or class
    if isinstance(dtype, pl.Decimal):
        return f"decimal, {dtype.scale} places"
    return {pl.String: "text", pl.Date: "date", pl.Int64: "whole number"}[dtype]


def unit_of(name: str, dtype: Any) -> str:  # noqa: ANN401
    """Return the unit of a column, as its name tells it; empty for text and dates."""
    if dtype in (pl.String, pl.Date):
        return ""
    endings = (unit for ending, unit in _UNITS_BY_ENDING if name.endswith(ending))
    return _UNITS.get(name) or next(endings, "")


def limits_of(record: Record, name: str) -> str:
    """Return what the column's checks allow, in words."""
    said = []
    for check in describe_column(record.name, name)["checks"]:
        low, high = (check.statistics.get(bound) for bound in _BOUNDS)
        if closed_list(record, name):
            said.append(", ".join(closed_list(record, name)))
        elif high is not None:
            said.append(f"{low} to {high}")
        elif low is not None:
            said.append(f"{'above' if check.name == 'greater_than' else 'at least'} {low}")
    return "; ".join(said)
