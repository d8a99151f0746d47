"""What a roof needs, with what is allowed on top, in packs and in money: one line a material."""

from collections.abc import Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Any

import polars as pl

from pipelines.errors import RoofError
from pipelines.quantities import MM_IN_M, Item, round_money, round_quantity
from schemas.columns import FACTOR, MONEY, QUANTITY
from schemas.vocabulary import KINDS

NOTHING = "nothing in force"

ESTIMATE: Mapping[str, pl.DataType | type[pl.DataType]] = {
    "material": pl.String,
    "kind": pl.String,
    "base_unit": pl.String,
    "net_quantity": QUANTITY,
    "base_quantity": QUANTITY,
    "how": pl.String,
    "in_force_from": pl.Date,
    "fixed_loss": QUANTITY,
    "price_ratio": FACTOR,
    "load_ratio": FACTOR,
    "blend_ratio": FACTOR,
    "piece_shift": FACTOR,
    "charged_quantity": QUANTITY,
    "loaded_quantity": QUANTITY,
    "pack_size": QUANTITY,
    "packs_count": pl.Int64,
    "supplier": pl.String,
    "price_gbp": pl.Decimal(20, 12),
    "price_from": pl.Date,
    "price_how": pl.String,
    "cost_gbp": MONEY,
}
"""Columns of an estimate; quantities and prices in base units, ratios over base."""


def estimate_lines(
    needs: pl.DataFrame,
    materials: pl.DataFrame,
    allowances: pl.DataFrame,
    plans: pl.DataFrame,
    prices: pl.DataFrame,
) -> pl.DataFrame:
    """
    Return one line a material, in the columns of `ESTIMATE`, in the order of a make-up.

    With the base b, charged = b + fixed_loss + price_ratio b, loaded = b + fixed_loss + load_ratio
    b, each to three decimals; where the allowance says blend_ratio k, b = best plan + k (plan
    without re-use - best plan), and where it says piece_shift s, loaded is the pieces in it plus
    s, rounded down, and never fewer lengths than the plan opens; packs are whole and no fewer; the
    cost is that of what is charged, rounded once, half away from zero. Where no allowance is in
    force nothing is added, and `how` says so. A need, plan or price that is not known leaves
    blank what rests on it.

    Args:
        needs: material, kind, base_unit, net_quantity, base_quantity, best_quantity,
            no_reuse_quantity of the roof.
        materials: the firm's materials, as `ledger.materials`.
        allowances: material, how, in_force_from, fixed_loss, price_ratio, load_ratio,
            blend_ratio, piece_shift; the last two may be blank.
        plans: material, lengths_count of the roof's trims.
        prices: material, supplier, pack_size, price_gbp, from_on, how.

    Raises:
        RoofError: a need that only a coverage with losses inside could tell.

    """
    items = _by_material(materials)
    allowed, planned, priced = (_by_material(one) for one in (allowances, plans, prices))
    lines = []
    for need in needs.iter_rows(named=True):
        material = need["material"]
        _refuse_gross(need, items[material])
        price = priced.get(material, {})
        amounts = _add_allowance(need, allowed.get(material))
        amounts = _end_on_pieces(amounts, items[material], planned.get(material, {}))
        packs = _fill_packs(amounts, items[material], price, planned.get(material, {}))
        lines.append({**need, **amounts, **packs, **_put_price(amounts, price)})
    lines.sort(key=lambda line: (KINDS.index(line["kind"]), line["material"]))
    rows = [{name: line[name] for name in ESTIMATE} for line in lines]
    return pl.DataFrame(rows, schema=ESTIMATE)


def sum_costs(lines: pl.DataFrame) -> Decimal | None:
    """Return the sum of the rounded costs of an estimate's lines, None where none is known."""
    costs = lines["cost_gbp"].drop_nulls().to_list()
    return sum(costs, Decimal("0.00")) if costs else None


def _by_material(frame: pl.DataFrame) -> dict[str, dict[str, Any]]:
    return {row["material"]: row for row in frame.iter_rows(named=True)}


def _refuse_gross(need: Mapping[str, Any], item: Mapping[str, Any]) -> None:
    if need["net_quantity"] is None and item["coverage_basis"] == "gross":
        raise RoofError(
            f"{need['material']}: its coverage of {item['coverage_per_m2'].normalize():f} "
            f"{need['base_unit']} per m2 has losses inside (coverage_basis gross), so no allowance "
            "may be added to it: give a net rate, or say that the rate is net"
        )


def _add_allowance(need: Mapping[str, Any], allowed: Mapping[str, Any] | None) -> dict[str, Any]:
    found = allowed or {"how": NOTHING, "in_force_from": None}
    blend, shift = (_exact_or_none(found.get(name)) for name in ("blend_ratio", "piece_shift"))
    base = _blend(need, blend)
    fixed = _exact(found.get("fixed_loss", 0.0), QUANTITY)
    price = _exact(found.get("price_ratio", 0.0), FACTOR)
    load = _exact(found.get("load_ratio", 0.0), FACTOR)
    return {
        "how": found["how"],
        "in_force_from": found["in_force_from"],
        "fixed_loss": fixed,
        "price_ratio": price,
        "load_ratio": load,
        "blend_ratio": blend,
        "piece_shift": shift,
        "base_quantity": base,
        "charged_quantity": None if base is None else round_quantity(base + fixed + price * base),
        "loaded_quantity": None if base is None else round_quantity(base + fixed + load * base),
    }


def _blend(need: Mapping[str, Any], blend_ratio: Decimal | None) -> Decimal | None:
    """Return the base that the allowance stands on, None where the roof has no plan for it."""
    base: Decimal | None = need["base_quantity"]
    if blend_ratio is None:
        return base
    best, no_reuse = need["best_quantity"], need["no_reuse_quantity"]
    if best is None or no_reuse is None:
        return None
    return round_quantity(best + blend_ratio * (no_reuse - best))


def _end_on_pieces(
    amounts: dict[str, Any], item: Mapping[str, Any], plan: Mapping[str, Any]
) -> dict[str, Any]:
    """Round the load to whole pieces where the allowance ends on them."""
    piece, loaded = _sold(item).piece_size, amounts["loaded_quantity"]
    if amounts["piece_shift"] is None or loaded is None or piece is None:
        return amounts
    count = (loaded / piece + amounts["piece_shift"]).to_integral_value(ROUND_FLOOR)
    least = Decimal(plan.get("lengths_count") or 0)
    return amounts | {"loaded_quantity": round_quantity(max(count, least) * piece)}


def _exact_or_none(value: float | None) -> Decimal | None:
    return None if value is None else _exact(value, FACTOR)


def _exact(value: float, like: pl.Decimal) -> Decimal:
    """Return a figure of an allowance at the decimals that a decision keeps."""
    return Decimal(f"{value + 0.0:.{like.scale}f}")


def _fill_packs(
    amounts: Mapping[str, Any],
    item: Mapping[str, Any],
    price: Mapping[str, Any],
    plan: Mapping[str, Any],
) -> dict[str, Any]:
    size = item["pack_size"] or price.get("pack_size") or _sold(item).usual_pack_size
    loaded = amounts["loaded_quantity"]
    if size is None or loaded is None:
        return {"pack_size": size, "packs_count": None}
    opened_m = Decimal(plan.get("lengths_count") or 0) * (item["stock_length_mm"] or 0) / MM_IN_M
    packs = max(loaded, opened_m) / size
    return {"pack_size": size, "packs_count": int(packs.to_integral_value(ROUND_CEILING))}


def _sold(item: Mapping[str, Any]) -> Item:
    return Item(
        item["material"],
        item["kind"],
        pack_size=item["pack_size"],
        stock_length_mm=item["stock_length_mm"],
        length_mm=item["length_mm"],
        width_mm=item["width_mm"],
    )


def _put_price(amounts: Mapping[str, Any], price: Mapping[str, Any]) -> dict[str, Any]:
    each = price.get("price_gbp")
    charged = amounts["charged_quantity"]
    return {
        "supplier": price.get("supplier"),
        "price_gbp": each,
        "price_from": price.get("from_on"),
        "price_how": price.get("how"),
        "cost_gbp": None if each is None or charged is None else round_money(charged * each),
    }
