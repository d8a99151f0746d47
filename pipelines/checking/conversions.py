"""Quantities brought to the base unit of their material, once, on record."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

import polars as pl

from pipelines.checking.figures import WIDE
from pipelines.checking.findings import Findings
from pipelines.checking.once import work_out_once
from pipelines.errors import QuantityError
from pipelines.quantities import Item, base_units_in, round_quantity, to_base, unit_of
from schemas.columns import QUANTITY
from schemas.record import Record
from schemas.units import PACK_UNITS

_VOLUMES = {"l", "ml"}
_MASSES = {"kg", "g"}
REMEDY = "write the quantity in one of the units named"
TOO_LARGE = Decimal(10) ** 15
"""What no quantity reaches: DECIMAL(18,3) holds less."""


@dataclass(frozen=True)
class _Cell:
    """One quantity to convert: its unit in the cell, in the row's column, its material."""

    value: Decimal
    cell_unit: str | None
    row_unit: str | None
    material: str | None


_WAY = ("cell_unit", "row_unit", "material")
_CONVERTED = {
    "found": QUANTITY,
    "said": pl.String(),
    "reason": pl.String(),
    "after": pl.String(),
    "rule": pl.String(),
}


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
    bases = pl.DataFrame(
        [(name, item.base_unit) for name, item in items.items()],
        schema={"material": pl.String, "unit": pl.String},
        orient="row",
    )
    return rows.select("material").join(bases, "material", "left", maintain_order="left")["unit"]


def _convert_column(
    name: str,
    row_units: pl.Series,
    rows: pl.DataFrame,
    items: Mapping[str, Item],
    findings: Findings,
) -> pl.DataFrame:
    cells = rows.select(
        "row_id",
        pl.col(name).alias("value"),
        pl.col(f"{name}__unit").alias("cell_unit"),
        row_units.alias("row_unit"),
        "material",
    )
    kept = _keep_base_units(name, cells, items)
    rest = cells.filter(pl.col("value").is_not_null() & kept.is_null())
    if rest.is_empty():
        return rows.with_columns(kept.alias(name))
    told = rest.hstack(
        work_out_once(
            rest, ("value", *_WAY), lambda way: _tell(name, _Cell(**way), items), _CONVERTED
        )
    )
    _note(name, told, findings)
    found = cells.join(told.select("row_id", "found"), "row_id", "left", maintain_order="left")
    return rows.with_columns(kept.zip_with(kept.is_not_null(), found["found"]).alias(name))


def _keep_base_units(name: str, cells: pl.DataFrame, items: Mapping[str, Item]) -> pl.Series:
    """Return the values that are in base units with three decimals at most, null for others."""
    ways = work_out_once(
        cells, _WAY, lambda way: (_is_base(name, way, items),), {"is_base": pl.Boolean()}
    )
    value = pl.col("value").cast(QUANTITY, strict=False)
    is_kept = ways["is_base"] & cells.select(value.cast(WIDE) == pl.col("value")).to_series()
    return cells.select(pl.when(is_kept).then(value).alias(name)).to_series()


def _is_base(name: str, way: Mapping[str, str | None], items: Mapping[str, Item]) -> bool:
    item = items.get(way["material"] or "")
    if item is None:
        return True
    try:
        meant = _meant_unit(name, way["cell_unit"], way["row_unit"], item)
        return base_units_in(meant, item) == 1
    except QuantityError:
        return False


def _tell(
    name: str, cell: _Cell, items: Mapping[str, Item]
) -> tuple[Decimal | None, str | None, str | None, str | None, str | None]:
    """Return what is found, the value as it stands, why not, and what it became by which rule."""
    item = items.get(cell.material or "")
    if item is None:
        return round_quantity(cell.value), None, None, None, None
    said = cell.cell_unit or cell.row_unit
    plain = f"{cell.value.normalize():f}"
    found = _converted(name, cell, item)
    if isinstance(found, QuantityError):
        return None, f"{plain} {said or ''}".strip(), str(found), None, None
    if found == cell.value:
        return found, None, None, None, None
    unit = said or (item.base_unit if name == "pack_size" else item.unit)
    return found, f"{plain} {unit}", None, f"{found:f} {item.base_unit}", _rule(unit, item)


def _converted(name: str, cell: _Cell, item: Item) -> Decimal | QuantityError:
    try:
        found = to_base(cell.value, _meant_unit(name, cell.cell_unit, cell.row_unit, item), item)
    except QuantityError as fault:
        return fault
    return found if abs(found) < TOO_LARGE else QuantityError("is too large a figure")


def _meant_unit(name: str, cell_unit: str | None, row_unit: str | None, item: Item) -> str:
    typed = unit_of(row_unit) if row_unit is not None else None
    if name == "pack_size":
        typed = None if typed in PACK_UNITS else typed
    if cell_unit is not None and typed is not None and cell_unit != typed:
        raise QuantityError(f"says {cell_unit} in the cell and {typed} in the unit column")
    usual = item.base_unit if name == "pack_size" else unit_of(item.unit)
    return cell_unit or typed or usual


def _note(name: str, told: pl.DataFrame, findings: Findings) -> None:
    column = pl.lit(name).alias("column_name")
    faults = told.drop_nulls("reason")
    remedy = pl.lit(REMEDY).alias("remedy")
    findings.reject_rows(
        faults.select("row_id", column, pl.col("said").alias("value"), "reason", remedy)
    )
    findings.mend_rows(
        told.drop_nulls("rule").select(
            "row_id",
            column,
            pl.col("said").alias("value_before"),
            pl.col("after").alias("value_after"),
            "rule",
            pl.lit(value=False).alias("mends"),
        )
    )


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
