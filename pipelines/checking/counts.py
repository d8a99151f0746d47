"""What was counted, in base units: full packs and part, pieces by length, gross less tare."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

import polars as pl

from pipelines.checking.findings import Findings
from pipelines.checking.once import work_out_once
from pipelines.errors import QuantityError
from pipelines.quantities import Item, round_quantity, to_base
from schemas.columns import QUANTITY

_PARTS = ("full_packs", "part", "part_gross_kg", "pieces")
_COUNTED = ("material", "quantity", *_PARTS, "length_mm")
_TOLD = {"quantity": QUANTITY, "said": pl.String(), "reason": pl.String()}
_REMEDY = "give the quantity, or what is missing, and hand the row in again"


def add_counted_quantity(
    rows: pl.DataFrame, items: Mapping[str, Item], findings: Findings
) -> pl.DataFrame:
    """
    Return counts with `quantity` filled from full packs and part, or pieces and length.

    A part that cannot be worked out, or that says other than a typed quantity, is a fault.
    """
    told = work_out_once(rows, _COUNTED, lambda row: _tell(row, items), _TOLD)
    faults = rows.select("row_id").hstack(told).drop_nulls("reason")
    column, remedy = pl.lit("quantity").alias("column_name"), pl.lit(_REMEDY).alias("remedy")
    findings.reject_rows(
        faults.select("row_id", column, pl.col("said").alias("value"), "reason", remedy)
    )
    return rows.with_columns(told["quantity"])


def _tell(
    row: Mapping[str, Any], items: Mapping[str, Item]
) -> tuple[Decimal | None, str | None, str | None]:
    """Return the quantity of a row, or what it says and why that cannot be worked out."""
    try:
        return _counted(row, items.get(row["material"])), None, None
    except QuantityError as fault:
        return row["quantity"], _said(row), str(fault)


def _counted(row: Mapping[str, Any], item: Item | None) -> Decimal | None:
    typed: Decimal | None = row["quantity"]
    if item is None or all(row[name] is None for name in _PARTS):
        return typed
    counted = round_quantity(sum(_parts(row, item), Decimal(0)))
    if typed is not None and typed != counted:
        raise QuantityError(f"is {typed:f} {item.base_unit}, and its parts come to {counted:f}")
    return counted


def _parts(row: Mapping[str, Any], item: Item) -> Iterator[Decimal]:
    if row["part"] is not None and row["part_gross_kg"] is not None:
        raise QuantityError("has the open pack twice: as a fraction and by weight")
    packs = sum((row[name] for name in ("full_packs", "part") if row[name] is not None), Decimal(0))
    if packs:
        yield packs * _pack_size(item)
    if row["part_gross_kg"] is not None:
        yield _in_open_pack(row["part_gross_kg"], item)
    if row["pieces"] is not None:
        yield _in_pieces(row["pieces"], row["length_mm"], item)


def _pack_size(item: Item) -> Decimal:
    size = item.usual_pack_size
    if size is None:
        raise QuantityError(f"is given in packs, and no pack size of {item.material} is known")
    return size


def _in_open_pack(gross_kg: Decimal, item: Item) -> Decimal:
    if item.tare_kg is None:
        raise QuantityError(f"is weighed with its tin, and no tare_kg of {item.material} is known")
    if gross_kg < item.tare_kg:
        raise QuantityError(f"is weighed at less than the empty tin, {item.tare_kg:f} kg")
    return to_base(gross_kg - item.tare_kg, "kg", item)


def _in_pieces(pieces: int, length_mm: int | None, item: Item) -> Decimal:
    if item.base_unit == "each":
        return Decimal(pieces)
    if length_mm is None:
        raise QuantityError("is given in pieces, and their length_mm is blank")
    return to_base(Decimal(pieces * length_mm), "mm", item)


def _said(row: Mapping[str, Any]) -> str | None:
    said = [f"{name} {row[name]}" for name in ("quantity", *_PARTS) if row[name] is not None]
    return ", ".join(said) or None
