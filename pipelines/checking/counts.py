"""What was counted, in base units: full packs and part, pieces by length, gross less tare."""

from collections.abc import Iterator, Mapping
from decimal import Decimal
from typing import Any

import polars as pl

from pipelines.checking.findings import Fault, Findings
from pipelines.errors import QuantityError
from pipelines.quantities import Item, round_quantity, to_base
from schemas.columns import QUANTITY

_PARTS = ("full_packs", "part", "part_gross_kg", "pieces")
_REMEDY = "give the quantity, or what is missing, and hand the row in again"


def add_counted_quantity(
    rows: pl.DataFrame, items: Mapping[str, Item], findings: Findings
) -> pl.DataFrame:
    """
    Return counts with `quantity` filled from full packs and part, or pieces and length.

    A part that cannot be worked out, or that says other than a typed quantity, is a fault.
    """
    values = []
    for row in rows.iter_rows(named=True):
        try:
            values.append(_counted(row, items.get(row["material"])))
        except QuantityError as fault:
            findings.reject([Fault(row["row_id"], "quantity", _said(row), str(fault), _REMEDY)])
            values.append(row["quantity"])
    return rows.with_columns(pl.Series("quantity", values, dtype=QUANTITY))


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
