"""The items that the materials in force make: what conversions have to know of each."""

from collections.abc import Mapping
from typing import Any

import polars as pl

from pipelines.quantities import Item
from schemas.units import DEFAULT_DENSITY_KG_PER_L, DEFAULT_STOCK_LENGTH_MM

_FIGURES = (
    "pack_size",
    "stock_length_mm",
    "length_mm",
    "width_mm",
    "pieces_per_kg",
    "density_kg_per_l",
    "g_per_m2",
    "tare_kg",
)
_DEFAULTS: Mapping[str, Mapping[str, Any]] = {
    "stock_length_mm": DEFAULT_STOCK_LENGTH_MM,
    "density_kg_per_l": DEFAULT_DENSITY_KG_PER_L,
}


def read_items(materials: pl.DataFrame) -> dict[str, Item]:
    """
    Return the item of each material.

    `materials` are typed versions, oldest first; column by column the newest filled value is in
    force, and a column in `emptied` is in force as nothing. One without a kind is no item.
    """
    in_force: dict[str, dict[str, Any]] = {}
    for row in materials.iter_rows(named=True):
        known = in_force.setdefault(row["material"], {})
        known |= dict.fromkeys(row["emptied"])
        known |= {name: value for name, value in row.items() if value is not None}
    return {name: _item(row) for name, row in in_force.items() if _makes_item(row)}


def _makes_item(row: Mapping[str, Any]) -> bool:
    return row.get("kind") is not None and row.get("unit") is not None


def _item(row: Mapping[str, Any]) -> Item:
    kind = row["kind"]
    figures = {name: row.get(name) for name in _FIGURES}
    defaults = {
        name: by_kind[kind]
        for name, by_kind in _DEFAULTS.items()
        if figures[name] is None and kind in by_kind
    }
    figures |= defaults
    return Item(row["material"], kind, row["unit"], **figures, defaults=frozenset(defaults))
