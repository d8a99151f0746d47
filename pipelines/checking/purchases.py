"""Documents of suppliers: what a blank means, credits written as if positive, sizes of packs."""

from collections.abc import Mapping
from decimal import Decimal
from fractions import Fraction
from typing import Any

import polars as pl

from pipelines.checking.conversions import TOO_LARGE
from pipelines.checking.findings import Findings, Repair
from pipelines.checking.once import work_out_once
from pipelines.checking.places import put_in_order
from pipelines.errors import QuantityError
from pipelines.quantities import (
    PER_CENT_IN_WHOLE,
    Item,
    base_units_in,
    round_money,
    round_quantity,
    unit_of,
)
from schemas.columns import MONEY, QUANTITY
from schemas.records import FILLED_BY_JUDGING
from schemas.units import PACK_UNITS

GOODS = "goods"
NUMBERLESS = "none"
TYPED_UNIT = "typed_unit"
_PENNY = Decimal("0.01")
_SIGNED = ("packs", "line_net_gbp")
_WITH_VAT = ("line_net_gbp", "packs", "pack_price_gbp", "vat_pct")
_DOCUMENT = ("receipt_no", "sheet", "supplier", "document_type", "document_no", "year")
_OF_SIZE = ("material", "line_kind", "pack_size", TYPED_UNIT, "packs")
_SIZED = {"pack_size": QUANTITY, "quantity": QUANTITY, "reason": pl.String()}
_RECEIPT = ("receipt_no", "supplier", "document_type", "document_on", "line_net_gbp")


def complete_documents(rows: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """
    Return lines with document type, line kind, number and year filled; credits negative.

    A line without a number is a receipt of its own: "none", its date, its total and its ordinal
    among those of that file. A credit written as if positive is turned whole, on record.
    """
    filled = put_in_order(rows).with_columns(
        *(pl.col(name).fill_null(meant) for name, meant in FILLED_BY_JUDGING.items()),
        pl.col("document_on").dt.year().cast(pl.Int64).alias("year"),
    )
    return _number_receipts(_turn_credits(_take_vat_out(filled, findings), findings))


def _number_receipts(rows: pl.DataFrame) -> pl.DataFrame:
    nameless = rows.filter(pl.col("document_no").is_null())
    if nameless.is_empty():
        return rows
    ordinal = pl.int_range(1, pl.len() + 1).over(*_RECEIPT)
    name = pl.concat_str(
        pl.lit(NUMBERLESS), "document_on", "line_net_gbp", ordinal, separator=" ", ignore_nulls=True
    )
    named = nameless.select("row_id", name.alias("name"))
    joined = rows.join(named, on="row_id", how="left", maintain_order="left")
    return joined.with_columns(pl.coalesce("document_no", "name").alias("document_no")).drop("name")


def _take_vat_out(rows: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Put the net in place of a line that is, to the penny, packs x price and its own VAT."""
    net, packs, price, vat = (pl.col(name).cast(pl.Float64) for name in _WITH_VAT)
    differing = rows.select("row_id", *_WITH_VAT).filter(
        (vat > 0) & ((packs * price - net).abs() > float(_PENNY))
    )
    nets: dict[int, Decimal] = {}
    for row_id, *figures in differing.iter_rows():
        found = _net_inside(*figures)
        if found is not None:
            nets[row_id] = found
            rule = f"VAT of {figures[-1].normalize():f} % taken out: packs x price is the net"
            said = f"{figures[0]:f}", f"{found:f}"
            findings.mend([Repair(row_id, "line_net_gbp", *said, rule)])
    if not nets:
        return rows
    mended = pl.col("row_id").replace_strict(nets, default=None, return_dtype=MONEY)
    return rows.with_columns(pl.coalesce(mended, "line_net_gbp").alias("line_net_gbp"))


def _net_inside(stated: Decimal, packs: Decimal, price: Decimal, vat: Decimal) -> Decimal | None:
    net = packs * price
    gross = net * (1 + vat / PER_CENT_IN_WHOLE)
    if abs(stated - net) <= _PENNY or abs(abs(stated) - abs(gross)) > _PENNY:
        return None
    return round_money(net).copy_sign(stated)


def _turn_credits(rows: pl.DataFrame, findings: Findings) -> pl.DataFrame:
    """Turn credits whose lines come to more than nothing; packs take the sign of their line."""
    credits_ = rows.filter(pl.col("document_type") == "credit")
    if credits_.is_empty():
        return rows
    whole = pl.when(pl.col("document_no").is_null()).then("row_id")
    total = pl.col("line_net_gbp").sum().over(*_DOCUMENT, whole)
    net = pl.when(total > 0).then(-pl.col("line_net_gbp")).otherwise("line_net_gbp")
    packs = pl.when(net > 0).then(pl.col("packs").abs()).otherwise(-pl.col("packs").abs())
    turned = credits_.select("row_id", net.alias("line_net_gbp"), packs.alias("packs"))
    for name in _SIGNED:
        changed = credits_.select("row_id", name, turned[name].alias("turned"))
        changed = changed.filter(pl.col(name) != pl.col("turned"))
        findings.mend(
            Repair(row_id, name, str(before), str(after), "a credit written as if positive")
            for row_id, before, after in changed.iter_rows()
        )
    return rows.update(turned, on="row_id", how="left", maintain_order="left")


def add_purchase_quantity(
    rows: pl.DataFrame, items: Mapping[str, Item], findings: Findings
) -> pl.DataFrame:
    """
    Return lines with `pack_size` filled and `quantity` = packs x pack size for goods.

    `TYPED_UNIT` is the unit column as received. A size that is not known, or that could be two
    things, is a fault.
    """
    told = work_out_once(rows, _OF_SIZE, lambda line: _tell_size(line, items), _SIZED)
    remedy = pl.lit("say in pack_size and unit what one pack holds").alias("remedy")
    unknown = rows.select("row_id").hstack(told).drop_nulls("reason")
    findings.reject_rows(
        unknown.select(
            "row_id",
            pl.lit("pack_size").alias("column_name"),
            pl.lit(None, pl.String).alias("value"),
            "reason",
            remedy,
        )
    )
    return rows.drop(TYPED_UNIT).with_columns(told["pack_size"], told["quantity"])


def _tell_size(
    line: Mapping[str, Any], items: Mapping[str, Item]
) -> tuple[Decimal | None, Decimal | None, str | None]:
    """Return pack size and quantity of a line, and why they are not known."""
    size: Decimal | None = line["pack_size"]
    if line["material"] not in items or line["line_kind"] != GOODS:
        return size, None, None
    item, unit = items[line["material"]], line[TYPED_UNIT]
    try:
        size = _size(line, unit, item)
        return size, _quantity(line["packs"], _exact_size(size, unit, item)), None
    except QuantityError as fault:
        return size, None, str(fault)


def _size(row: Mapping[str, Any], typed_unit: str | None, item: Item) -> Decimal | None:
    typed: Decimal | None = row["pack_size"]
    if typed is not None or row["packs"] is None:
        return typed
    usual = item.usual_pack_size
    unit = None if typed_unit is None else unit_of(typed_unit)
    if unit is not None and unit not in PACK_UNITS:
        one = _base_units_in_one(unit, item)
        if unit not in {"length", "sheet"} and one != usual:
            raise QuantityError(f"is blank: packs could be packs of {item.material}, or {unit}")
        return one
    if usual is None:
        raise QuantityError(f"is blank, and no pack size of {item.material} is known")
    return usual


def _base_units_in_one(unit: str, item: Item) -> Decimal:
    """Return what one holds; each of what cannot be counted singly is a pack as it is sold."""
    try:
        return round_quantity(base_units_in(unit, item))
    except QuantityError:
        if unit != "each" or item.usual_pack_size is None:
            raise
        return item.usual_pack_size


def _exact_size(size: Decimal | None, typed_unit: str | None, item: Item) -> Fraction | None:
    """Return the size unrounded where it is one of the unit typed: 34 kg round once only."""
    if size is None or typed_unit is None or unit_of(typed_unit) in PACK_UNITS:
        return None if size is None else Fraction(size)
    try:
        one = base_units_in(unit_of(typed_unit), item)
    except QuantityError:
        return Fraction(size)
    return one if round_quantity(one) == size else Fraction(size)


def _quantity(packs: Decimal | None, size: Fraction | None) -> Decimal | None:
    if packs is None or size is None:
        return None
    quantity = round_quantity(Fraction(packs) * size)
    if abs(quantity) >= TOO_LARGE:
        raise QuantityError("makes too large a figure")
    return quantity
