"""Two years day by day: deliveries, jobs, orders, month ends; the truth and the cards."""

from dataclasses import dataclass, field
from datetime import date, timedelta
from math import ceil
from random import Random

from sample_data.days import end_month, is_working, list_months
from sample_data.decking import fix_battens, lay_boards
from sample_data.diary import Job, quote_jobs
from sample_data.firm import BY_NAME, CREWS, DECKED, MATERIALS
from sample_data.habits import find_habits
from sample_data.laminate import (
    brush_topcoat_g,
    count_cartridges,
    dose_catalyst_g,
    lay_mat,
    pour_resin,
    prime_deck_g,
    use_sundries,
)
from sample_data.roofs import count_corners
from sample_data.store import Store
from sample_data.trims import Bar, Cutter
from sample_data.vans import OpenPack, Reading, Van

WHOLE_PACKS = ("catalyst", "bandage", "nails", "solvent")
SPARE_PACKS = {"deck board": 2, "batten": 1, "drip trim": 1, "raised edge trim": 1}
RESIN_SPARE_RATIO = 1.15
JUDGED_FROM_G = 18_000
SOON_DAYS = 12
BINNED_FROM_MM = 100
LATER_DAYS = 30
# Day, material, packs, cause; a blank cause is a loss that nobody wrote down.
LOST = (
    (date(2024, 9, 17), "resin", 1, ""),
    (date(2024, 11, 12), "deck board", 2, "damaged"),
    (date(2025, 1, 22), "adhesive", 2, ""),
    (date(2025, 3, 5), "topcoat dark grey", 1, "spilt"),
    (date(2025, 6, 11), "drip trim", 3, ""),
    (date(2025, 10, 8), "wall fillet", 2, "damaged"),
    (date(2025, 11, 19), "deck board", 4, ""),
    (date(2026, 2, 9), "resin", 1, "gone off"),
    (date(2026, 3, 18), "resin", 2, ""),
)


@dataclass
class Card:
    """What the crew wrote of one job, and what truly happened (`used`, `bars`)."""

    job: Job
    finished_on: date
    how: str = "weighed"
    moved: dict[str, Reading] = field(default_factory=dict)
    racked: dict[str, list[int]] = field(default_factory=dict)
    from_rack: dict[str, list[int]] = field(default_factory=dict)
    binned: dict[str, list[int]] = field(default_factory=dict)
    gone_off_g: int = 0
    labour_days: str = ""
    deck_c: str = ""
    used: dict[str, int] = field(default_factory=dict)
    bars: list[Bar] = field(default_factory=list)

    @property
    def ran_short_of(self) -> str:
        """The first material that the van had to fetch more of, blank if none."""
        return next((name for name, reading in self.moved.items() if reading.is_short), "")


@dataclass(frozen=True)
class Count:
    """What stood in the yard and the vans at the end of a day."""

    counted_on: date
    packs: dict[str, tuple[tuple[str, date | None, int], ...]]
    rack: dict[str, tuple[int, ...]]
    opened: dict[str, dict[str, OpenPack]]


@dataclass
class History:
    """All that happened: jobs, cards, counts and the yard at the end."""

    months: list[date]
    jobs: list[Job]
    cards: list[Card]
    counts: list[Count]
    store: Store
    vans: dict[str, Van]


def work_months(seed: int, months: int) -> History:
    """Return the firm's history of so many months from June 2024."""
    jobs = quote_jobs(Random(f"{seed} quotes"), months)
    vans = {crew: Van(crew, Random(f"{seed} {crew}")) for crew in CREWS}
    store = Store(Random(f"{seed} yard"))
    history = History(list_months(months), jobs, [], [], store, vans)
    opened_on = history.months[0] - timedelta(1)
    store.open_stock(_sum_needs(jobs, opened_on, LATER_DAYS), opened_on)
    history.counts.append(_count(history, opened_on))
    crews = Random(f"{seed} work")
    for month_on in history.months:
        _work_month(history, crews, month_on)
    return history


def _work_month(history: History, rng: Random, month_on: date) -> None:
    last = end_month(month_on)
    for n in range(last.day):
        day = month_on + timedelta(n)
        history.store.receive_due(day)
        if day.weekday() in (0, 3) and is_working(day):
            soon = _sum_needs(history.jobs, day, SOON_DAYS)
            history.store.order(soon, _sum_needs(history.jobs, day, LATER_DAYS), day)
        done = [job for job in history.jobs if job.completed_on == day]
        history.cards += [_work_job(history, rng, job, day) for job in done]
        for lost_on, material, packs, cause in LOST:
            if lost_on == day:
                history.store.lose(material, packs, day, cause)
    _send_back(history.store, month_on, last)
    history.store.clear(last)
    for van in history.vans.values():
        van.clear(history.store, last)
    history.counts.append(_count(history, last))


def _sum_needs(jobs: list[Job], day: date, days: int) -> dict[str, int]:
    """Add up what the jobs of the coming days are allowed, in thousandths."""
    needs: dict[str, int] = {}
    for job in jobs:
        due = job.completed_on or job.planned_on
        if due is not None and 0 <= (due - day).days < days:
            for name, amount in job.allowed.items():
                needs[name] = needs.get(name, 0) + amount
    return needs


def _work_job(history: History, rng: Random, job: Job, day: date) -> Card:
    card = Card(job, day)
    _fit_trims(card, rng, history.store)
    _pour(card, rng, history.store, history.vans[job.crew])
    _fix(card, rng, history.store)
    days = 0.3 + job.roof.fitted_area_m2 / 16 + (0.3 if job.work in DECKED else 0)
    if rng.random() < 0.85:
        card.labour_days = f"{ceil(days * rng.uniform(1.5, 2.2) * 2) / 2:g}"
    if rng.random() < 0.6:
        card.deck_c = str(job.deck_c)
    return card


def _fit_trims(card: Card, rng: Random, store: Store) -> None:
    habits = find_habits(card.job.crew, card.finished_on)
    card.bars = Cutter(rng, habits, store.rack).fit_edges(card.job.roof)
    for trim in dict.fromkeys(edge.trim for edge in card.job.roof.edges):
        bars = [bar for bar in card.bars if bar.trim == trim]
        opened = sum(bar.source == "new" for bar in bars)
        card.racked[trim] = sorted((bar.racked_mm for bar in bars if bar.racked_mm), reverse=True)
        card.from_rack[trim] = [bar.length_mm for bar in bars if bar.source == "rack"]
        if card.job.crew == CREWS[1]:
            binned = (bar.binned_mm for bar in bars if bar.binned_mm >= BINNED_FROM_MM)
            card.binned[trim] = sorted(binned, reverse=True)
        _count_out(card, store, trim, opened)
        card.used[trim] = sum(bar.length_mm - bar.racked_mm for bar in bars)


def _count_out(card: Card, store: Store, material: str, used_packs: int) -> None:
    """Load what is allowed in whole packs, use some, bring the rest back."""
    pack = BY_NAME[material].pack
    loaded = ceil(card.job.allowed.get(material, 0) / pack)
    loaded += SPARE_PACKS.get(material, 0) if loaded else 0
    out = max(loaded, used_packs)
    if not out:
        return
    taken = store.take(material, out, card.finished_on)
    store.put_back(material, taken[used_packs:])
    card.used[material] = used_packs * pack
    card.moved[material] = Reading(out, out - used_packs, used_packs > loaded)


def _pour(card: Card, rng: Random, store: Store, van: Van) -> None:
    job, day = card.job, card.finished_on
    resin = pour_resin(rng, job)
    topcoat_g = brush_topcoat_g(rng, job)
    card.gone_off_g = resin.gone_off_g
    if resin.used_g > JUDGED_FROM_G and rng.random() < 0.55:
        card.how = "judged"
    mat = next(name for name in job.allowed if name.startswith("mat "))
    left = van.open_packs[mat].left if mat in van.open_packs else 0
    card.used |= {"resin": resin.used_g, job.topcoat: topcoat_g}
    card.used[mat] = lay_mat(job, left, BY_NAME[mat].pack)
    if job.work == "overlay":
        card.used["primer"] = prime_deck_g(rng, job)
    for name in [name for name in ("resin", job.topcoat, mat, "primer") if name in card.used]:
        judged = card.how == "judged" and name in ("resin", job.topcoat)
        pour = van.pour_judged if judged else van.pour
        spare = RESIN_SPARE_RATIO if name == "resin" else 1
        allowed = round(job.allowed[name] * spare)
        card.moved[name] = pour(store, name, card.used[name], allowed, day)
    card.used["catalyst"] = dose_catalyst_g(rng, job, resin.used_g + topcoat_g)
    card.used |= use_sundries(rng, job, card.bars)
    for name in WHOLE_PACKS:
        opened = van.open_whole(store, name, card.used[name], day)
        if opened:
            card.moved[name] = Reading(opened, 0, is_short=False)


def _fix(card: Card, rng: Random, store: Store) -> None:
    job = card.job
    habits = find_habits(job.crew, card.finished_on)
    counted = count_cartridges(rng, job) | {"batten": fix_battens(rng, habits, job.roof)}
    counted["deck board"] = lay_boards(rng, habits, job.roof) if job.work in DECKED else 0
    for piece, count in count_corners(job.roof).items():
        counted[piece] = count + sum(rng.random() < 0.04 for _ in range(count))
    for name, packs in counted.items():
        _count_out(card, store, name, packs)


def _send_back(store: Store, month_on: date, day: date) -> None:
    """Credits of the month: goods sent back each fourth month, money in two of them."""
    if month_on.month % 4 == 0:
        _credit_last(store, day, "topcoat dark grey", packs=1)
    if month_on.month % 6 == 1:
        _credit_last(store, day, "deck board", packs=2)
    if month_on.month == 11:
        _credit_last(store, day, "resin", packs=0)


def _credit_last(store: Store, day: date, material: str, packs: int) -> None:
    for document in reversed(store.documents):
        for line in document.lines:
            wanted = line.material == material and document.document_type == "invoice"
            if wanted and line.packs > packs and store.count_packs(material) > packs:
                if packs:
                    store.credit(document, line, packs, day)
                else:
                    store.credit_money(document, line, "24.00", day)
                return


def _count(history: History, day: date) -> Count:
    store = history.store
    packs = {
        material.name: tuple(
            (lot.lot, lot.expires_on, lot.packs) for lot in store.lots[material.name]
        )
        for material in MATERIALS
    }
    opened = {
        name: {
            material: OpenPack(pack.lot, pack.expires_on, pack.left, pack.read)
            for material, pack in van.open_packs.items()
        }
        for name, van in history.vans.items()
    }
    rack = {trim: tuple(sorted(pieces)) for trim, pieces in store.rack.items()}
    return Count(day, packs, rack, opened)
