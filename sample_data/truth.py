"""What truly happened, beside what the files say: use, cuts, spoilt lengths, effects, balance."""

from pathlib import Path

from sample_data.firm import (
    BY_NAME,
    CREW_CHANGE_ON,
    JOB_TYPES,
    MATERIALS,
    PRICE_RISE_ON,
    RESIN_STEP_ON,
    format_thousandths,
)
from sample_data.habits import (
    COLD_DECK_C,
    COLD_RATIO,
    FIRST_VAN,
    MIX_LOSS_G,
    RESIN_STEP_RATIO,
    SECOND_VAN_AFTER,
    SECOND_VAN_BEFORE,
)
from sample_data.sheets import Cell, write_table
from sample_data.work import History


def write_truth(folder: Path, history: History) -> None:
    """Write the truth as CSV files."""
    _write_use(folder, history)
    _write_cuts(folder, history)
    _write_effects(folder)
    _write_balance(folder, history)


def _write_use(folder: Path, history: History) -> None:
    rows = [
        (card.job.job_ref, name, BY_NAME[name].base_unit, format_thousandths(amount))
        for card in history.cards
        for name, amount in sorted(card.used.items())
        if amount
    ]
    write_table(folder / "use.csv", ("job_ref", "material", "base_unit", "used"), rows)


def _write_cuts(folder: Path, history: History) -> None:
    bars = [(card, bar) for card in history.cards for bar in card.bars]
    rows = [
        (card.job.job_ref, bar.trim, bar.source, bar.length_mm, bar.fitted_mm, bar.kerf_mm,
         bar.racked_mm, bar.binned_mm)
        for card, bar in bars
    ]  # fmt: skip
    header = (
        "job_ref", "material", "source", "length_mm", "fitted_mm", "kerf_mm", "racked_mm",
        "binned_mm",
    )  # fmt: skip
    write_table(folder / "cuts.csv", header, rows)
    spoilt = [
        (card.job.job_ref, card.finished_on, bar.trim, bar.length_mm)
        for card, bar in bars
        if bar.spoilt
    ]
    write_table(folder / "spoilt.csv", ("job_ref", "spoilt_on", "material", "length_mm"), spoilt)


def _write_effects(folder: Path) -> None:
    rows = [
        row
        for kind in JOB_TYPES
        for row in (
            ("resin", kind.name, kind.resin_fixed_g / 1000, kind.resin_ratio),
            ("topcoat", kind.name, kind.topcoat_fixed_g / 1000, kind.topcoat_ratio),
        )
    ]
    header = ("material", "job_type", "fixed_loss_kg", "rate_ratio")
    write_table(folder / "effects.csv", header, rows)
    events: list[tuple[Cell, ...]] = [
        ("lasting step in resin use", RESIN_STEP_ON, "ratio", RESIN_STEP_RATIO),
        ("second van's crew before", CREW_CHANGE_ON, "ratio", SECOND_VAN_BEFORE.resin_ratio),
        ("second van's crew after", CREW_CHANGE_ON, "ratio", SECOND_VAN_AFTER.resin_ratio),
        ("first van's crew", "", "ratio", FIRST_VAN.resin_ratio),
        (f"deck below {COLD_DECK_C} degrees", "", "ratio", COLD_RATIO),
        ("resin lost a mix", "", "kg", MIX_LOSS_G / 1000),
        ("suppliers' prices rise", PRICE_RISE_ON, "", ""),
    ]
    write_table(folder / "events.csv", ("event", "from_on", "measure", "size"), events)


def _write_balance(folder: Path, history: History) -> None:
    header = (
        "material", "base_unit", "opening", "bought", "used", "lost_written", "lost_unwritten",
        "closing",
    )  # fmt: skip
    rows = [
        (
            material.name,
            material.base_unit,
            *(format_thousandths(amount) for amount in balance_material(history, material.name)),
        )
        for material in MATERIALS
    ]
    write_table(folder / "balance.csv", header, rows)


def balance_material(history: History, name: str) -> tuple[int, int, int, int, int, int]:
    """Return opening, bought, used, lost (written, not written), closing in thousandths."""
    store = history.store
    used = sum(card.used.get(name, 0) for card in history.cards)
    losses = [loss for loss in store.losses if loss.material == name]
    written = sum(loss.amount for loss in losses if loss.cause)
    written += sum(mm for _, trim, mm in store.scrapped if trim == name)
    unwritten = sum(loss.amount for loss in losses if not loss.cause)
    opened = [van.open_packs[name].left for van in history.vans.values() if name in van.open_packs]
    closing = store.count_packs(name) * BY_NAME[name].pack + sum(opened) + sum(store.rack[name])
    return (store.opening[name], store.bought[name], used, written, unwritten, closing)
