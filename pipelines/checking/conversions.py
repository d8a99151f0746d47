"""Quantities brought to the base unit of their material, once, on record."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

import polars as pl

from pipelines.checking.findings import Fault, Findings, Repair
from pipelines.errors import QuantityError
from pipelines.quantities import Item, round_quantity, to_base, unit_of
from schemas.columns import QUANTITY
from schemas.record import Record
from schemas.units import PACK_UNITS

_VOLUMES = {"l", "ml"}
_MASSES = {"kg", "g"}
REMEDY = "write the quantity in one of the units named"
TOO_LARGE = Decimal(10) ** 15
"""What no quantity reaches: DECIMAL(18,3) holds less."""


class Place(NamedTuple):
    """A row and one of its columns."""

    row_id: int
    column_name: str


@dataclass(frozen=True)
class _Cell:
    """One quantity to convert: its unit in the cell, in the row's column, its material."""

    value: Decimal
    cell_unit: str | None
    row_unit: str | None
    material: str


def convert_quantities(
    record: Record, rows: pl.DataFrame, items: Mapping[str, Item], findings: Findings
) -> pl.DataFrame:
    """
    Return `rows` with every quantity in base units, DECIMAL(18,3), and `unit` the base unit.

    A row whose unit cannot be converted gets a fault that names the units that can.
    """
    for name in [name for name in record.columns if f"{name}__unit" in rows.columns]:
        rows = _convert_column(name, _row_units(record, rows), rows, items, findings)
    if record.name != "materials" and "unit" in record.columns:
        rows = rows.with_columns(_base_units(rows, items))
    return rows.drop(pl.selectors.ends_with("__unit"))


def _row_units(record: Record, rows: pl.DataFrame) -> pl.Series:
    """Return the unit column; in the list of materials it is not the unit of its pack sizes."""
    if record.name == "materials" or "unit" not in record.columns:
        return pl.Series("unit", [None] * rows.height, dtype=pl.String)
    return rows["unit"]


def _base_units(rows: pl.DataFrame, items: Mapping[str, Item]) -> pl.Series:
    found = [items[name].base_unit if name in items else None for name in rows["material"]]
    return pl.Series("unit", found, dtype=pl.String)


def _convert_column(
    name: str,
    row_units: pl.Series,
    rows: pl.DataFrame,
    items: Mapping[str, Item],
    findings: Findings,
) -> pl.DataFrame:
    cells = rows.select("row_id", name, f"{name}__unit", row_units, "material").rows()
    done: dict[_Cell, Decimal | QuantityError] = {}
    values = []
    for row_id, value, cell_unit, row_unit, material in cells:
        if value is None or material not in items:
            values.append(None if value is None else round_quantity(value))
            continue
        cell = _Cell(value, cell_unit, row_unit, material)
        if cell not in done:
            done[cell] = _converted(name, cell, items[material])
        values.append(_note(Place(row_id, name), cell, done[cell], items[material], findings))
    return rows.with_columns(pl.Series(name, values, dtype=QUANTITY))


def _converted(name: str, cell: _Cell, item: Item) -> Decimal | QuantityError:
    try:
        found = to_base(cell.value, _meant_unit(name, cell, item), item)
    except QuantityError as fault:
        return fault
    return found if abs(found) < TOO_LARGE else QuantityError("is too large a figure")


def _meant_unit(name: str, cell: _Cell, item: Item) -> str:
    typed = unit_of(cell.row_unit) if cell.row_unit is not None else None
    if name == "pack_size":
        typed = None if typed in PACK_UNITS else typed
    if cell.cell_unit is not None and typed is not None and cell.cell_unit != typed:
        raise QuantityError(f"says {cell.cell_unit} in the cell and {typed} in the unit column")
    usual = item.base_unit if name == "pack_size" else unit_of(item.unit)
    return cell.cell_unit or typed or usual


def _note(
    place: Place,
    cell: _Cell,
    found: Decimal | QuantityError,
    item: Item,
    findings: Findings,
) -> Decimal | None:
    said = cell.cell_unit or cell.row_unit
    if isinstance(found, QuantityError):
        value = f"{cell.value.normalize():f} {said or ''}".strip()
        findings.reject([Fault(*place, value, str(found), REMEDY)])
        return None
    if found != cell.value:
        unit = said or (item.base_unit if place.column_name == "pack_size" else item.unit)
        before, after = f"{cell.value.normalize():f} {unit}", f"{found:f} {item.base_unit}"
        findings.mend([Repair(*place, before, after, _rule(unit, item), mends=False)])
    return found


def _rule(unit: str, item: Item) -> str:
    """Return what converted; a figure that is a default is named as one."""
    name = _figure_behind(unit_of(unit), item)
    if name not in item.defaults:
        return "converted"
    return f"converted by a {name} of {getattr(item, name)} (default, not yours)"


def _figure_behind(unit: str, item: Item) -> str:
    if unit == "length":
        return "stock_length_mm"
    crosses = (unit in _VOLUMES) != (item.base_unit in _VOLUMES)
    return "density_kg_per_l" if crosses and unit in _VOLUMES | _MASSES else ""
