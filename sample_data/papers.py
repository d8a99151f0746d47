"""The yard's and the owner's papers: materials, prices, counts, orders, losses, decisions."""

from datetime import date, timedelta
from decimal import Decimal
from pathlib import Path

from sample_data.firm import (
    BY_NAME,
    MATERIALS,
    PRICE_RISE_ON,
    SUPPLIERS,
    Material,
    format_thousandths,
)
from sample_data.sheets import Cell, Sheet, show_number, write_table, write_workbook
from sample_data.trims import LENGTH_MM
from sample_data.vans import OpenPack
from sample_data.work import Count, History

FIRST_PRICES_ON = date(2024, 4, 1)
COUNT_HEADER = (
    "counted_on", "material", "place", "lot", "expires_on", "full_packs", "part",
    "part_gross_kg", "length_mm", "pieces", "quantity", "unit",
)  # fmt: skip
DECISIONS = (
    ("resin", "all", "2025-07-07", "set", "0.8", "0.06", "0.14"),
    ("resin", "dormer", "2025-07-07", "set", "1.2", "0.10", "0.20"),
    ("drip trim", "all", "2026-01-05", "accept", "0", "0.08", "0.20"),
    ("deck board", "garage", "2026-01-05", "keep", "0", "0.10", "0.10"),
)


def write_items(folder: Path) -> None:
    """Write the material list and the suppliers' terms."""
    extra = list(dict.fromkeys(name for each in MATERIALS for name in each.columns))
    rows = [
        [
            each.name, each.kind, each.base_unit, each.words, show_number(each.pack),
            *(_read_cell(each.columns.get(name, "")) for name in extra),
        ]
        for each in MATERIALS
    ]  # fmt: skip
    header = ("material", "kind", "unit", "description", "pack_size", *extra)
    write_workbook(folder / "materials.xlsx", [Sheet("materials", header, rows)])
    terms = [
        (each.name, each.lead_days, each.delivery_gbp, each.free_from_gbp, each.payment_days)
        for each in SUPPLIERS
    ]
    names = ("supplier", "lead_days", "delivery_gbp", "free_from_gbp", "payment_days")
    write_table(folder / "suppliers.csv", names, terms)


def _read_cell(text: str) -> Cell:
    return Decimal(text) if text[:1].isdigit() else text


def write_prices(folder: Path) -> None:
    """Write the price list at the start and the one of the rise."""
    for valid_from in (FIRST_PRICES_ON, PRICE_RISE_ON):
        rows = [row for each in MATERIALS for row in _price(each, valid_from)]
        header = (
            "supplier", "material", "unit", "pack_size", "min_packs", "pack_price_gbp",
            "valid_from",
        )  # fmt: skip
        write_workbook(folder / f"prices {valid_from:%Y-%m}.xlsx", [Sheet("prices", header, rows)])


def _price(material: Material, valid_from: date) -> list[list[Cell]]:
    later = valid_from >= PRICE_RISE_ON
    size = material.bought_size or format_thousandths(material.pack)
    tier = material.later_tier_price if later else material.tier_price
    steps = [(1, material.later_price if later else material.price)]
    steps += [(material.from_packs, tier)] if tier else []
    return [
        [
            material.supplier, material.name, material.bought_unit or material.base_unit,
            Decimal(size), packs, Decimal(price), valid_from,
        ]
        for packs, price in steps
    ]  # fmt: skip


def write_counts(folder: Path, history: History) -> None:
    """Write a count workbook for the day before the first month and for each month end."""
    for count in history.counts:
        rows = [row for each in MATERIALS for row in _count_yard(count, each)]
        for van, packs in count.opened.items():
            rows += [
                row for each in MATERIALS if each.name in packs
                for row in _count_van(count.counted_on, van, each, packs[each.name])
            ]  # fmt: skip
        sheet = Sheet("stock_counts", COUNT_HEADER, rows)
        write_workbook(folder / f"count {count.counted_on:%Y-%m}.xlsx", [sheet])


def _count_row(day: date, material: str, place: str, **cells: Cell) -> list[Cell]:
    row: dict[str, Cell] = dict.fromkeys(COUNT_HEADER)
    row.update(counted_on=day, material=material, place=place, **cells)
    return list(row.values())


def _count_yard(count: Count, material: Material) -> list[list[Cell]]:
    day, name, lots = count.counted_on, material.name, count.packs[material.name]
    whole = sum(packs for _, _, packs in lots)
    if material.kind == "trim":
        pieces = {LENGTH_MM: whole}
        for length_mm in count.rack.get(name, ()):
            pieces[length_mm] = pieces.get(length_mm, 0) + 1
        return [
            _count_row(day, name, "yard", length_mm=length_mm, pieces=number)
            for length_mm, number in pieces.items()
        ]
    if material.kind == "corner piece":
        return [_count_row(day, name, "yard", quantity=whole, unit="each")]
    if not lots:
        return [_count_row(day, name, "yard", full_packs=0)]
    return [
        _count_row(day, name, "yard", lot=lot, expires_on=expires_on, full_packs=packs)
        for lot, expires_on, packs in lots
    ]


def _count_van(day: date, van: str, material: Material, pack: OpenPack) -> list[list[Cell]]:
    """Weigh an open tin whose tare is known, judge anything else to a quarter."""
    seen: dict[str, Cell] = {"lot": pack.lot, "expires_on": pack.expires_on, "full_packs": 0}
    tare = material.columns.get("tare_kg")
    if tare is not None:
        gross = Decimal(round(pack.left, -2)) / 1000 + Decimal(tare)
        return [_count_row(day, material.name, van, **seen, part_gross_kg=gross)]
    part = round(4 * pack.left / material.pack) / 4
    return [_count_row(day, material.name, van, **seen, part=part)] if part else []


def write_orders(folder: Path, history: History) -> None:
    """Write every order line, those still on their way with nothing received."""
    rows: list[tuple[Cell, ...]] = []
    lines: dict[str, int] = {}
    for order in history.store.orders:
        lines[order.order_no] = lines.get(order.order_no, 0) + 1
        size = format_thousandths(BY_NAME[order.material].pack)
        received = order.packs if order.received_on else 0
        rows.append(
            (order.order_no, lines[order.order_no], order.supplier, order.material, order.packs,
             size, order.ordered_on, order.due_on, received, order.received_on)
        )  # fmt: skip
    header = (
        "order_no", "line_no", "supplier", "material", "packs", "pack_size", "ordered_on",
        "due_on", "received_packs", "received_on",
    )  # fmt: skip
    write_table(folder / "orders.csv", header, rows)


def write_losses(folder: Path, history: History) -> None:
    """Write the losses without a job that were noticed, and what left the rack for the skip."""
    rows = [
        (
            each.lost_on,
            each.material,
            format_thousandths(each.amount),
            BY_NAME[each.material].base_unit,
            each.cause,
        )
        for each in history.store.losses
        if each.cause
    ]
    header = ("lost_on", "material", "quantity", "unit", "cause")
    write_table(folder / "losses without a job.csv", header, rows)
    pieces = [(day, trim, mm, 1, "scrapped") for day, trim, mm in history.store.scrapped]
    names = ("moved_on", "material", "length_mm", "pieces", "fate")
    write_table(folder / "rack offcuts cleared.csv", names, pieces)


def write_decisions(folder: Path, history: History) -> None:
    """Write what the owner decided and which months the office closed."""
    header = (
        "material", "job_type", "decided_on", "decision", "fixed_loss", "price_ratio",
        "load_ratio", "decided_by",
    )  # fmt: skip
    last = history.counts[-1].counted_on
    rows = [(*row, "owner") for row in DECISIONS if date.fromisoformat(row[2]) <= last]
    write_table(folder / "decisions.csv", header, rows)
    closed = [
        (month_on, (month_on + timedelta(32)).replace(day=8), "office")
        for month_on in history.months[-4:-1]
    ]
    write_table(folder / "closings.csv", ("month_on", "closed_on", "closed_by"), closed)
