"""
What the papers come to, job by job: the figures of a run worked out a second time.

Quantities in base units, rounded to thousandths; money rounded once for a job and material.
"""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from functools import cache
from math import ceil

from tests.agreement.papers import Papers, Row, day, exact, round_to

NET = tuple[Decimal | None, Decimal | None]


def finished(papers: Papers) -> dict[str, Row]:
    """Return the jobs that have a day of finishing."""
    return {ref: job for ref, job in papers.jobs.items() if day(job.get("completed_on"))}


def take_up(papers: Papers) -> dict[tuple[str, str], dict[str, Decimal | None]]:
    """Return issued, returned, rack moves, drawn and used for each job and material."""
    moved: dict[tuple[str, str], dict[str, list[Decimal]]] = defaultdict(lambda: defaultdict(list))
    for card in papers.cards:
        for name in ("issued_quantity", "returned_quantity"):
            if card.get(name) is not None:
                moved[card["job_ref"], card["material"]][name].append(card[name])
    for piece in papers.offcuts:
        side = f"{piece['fate']}_quantity"
        moved[piece["job_ref"], piece["material"]][side].append(Decimal(piece["length_mm"]) / 1000)
    return {key: _use_of(sums) for key, sums in moved.items()}


def _use_of(lists: dict[str, list[Decimal]]) -> dict[str, Decimal | None]:
    sums = {name: sum(values, Decimal()) for name, values in lists.items()}
    issued, rack = sums.get("issued_quantity"), sums.get("from_rack_quantity")
    if issued is None and rack is None:
        return sums | {"drawn_quantity": None, "used_quantity": None}
    drawn = (issued or 0) + (rack or 0) - sums.get("returned_quantity", Decimal())
    return sums | {
        "drawn_quantity": drawn,
        "used_quantity": drawn - sums.get("racked_quantity", Decimal()),
    }


def fitted_length(job: Row, edges: list[Row], edge: Row) -> int | None:
    """Return the fitted edge in mm, None where nothing says it."""
    said = any(other["fitted_mm"] is not None for other in edges)
    if edge["fitted_mm"] is None and (said or job.get("as_drawn") == "yes"):
        return int(edge["quoted_mm"])
    return edge["fitted_mm"]


def runs(papers: Papers, ref: str, trim: str, *, as_fitted: bool) -> list[int] | None:
    """Return the runs of a trim in mm, corner covers off; None where one is not known."""
    edges = papers.edges.get(ref, [])
    cover = int(papers.materials[trim]["corner_cover_mm"] or 0)
    found = []
    for edge in edges:
        if edge["material"] != trim:
            continue
        whole = edge["quoted_mm"]
        if as_fitted:
            whole = fitted_length(papers.jobs[ref], edges, edge)
        if whole is None:
            return None
        ends = [edge["start_end"], edge["finish_end"]].count("corner piece")
        found.append(int(whole) - cover * ends)
    return found


def corner_pieces(papers: Papers, ref: str, piece: str) -> Decimal:
    """Return the corner pieces of a job: two neighbouring ends make one."""
    ends = 0
    for edge in papers.edges.get(ref, []):
        if papers.materials[edge["material"]]["corner_piece"] == piece:
            ends += [edge["start_end"], edge["finish_end"]].count("corner piece")
    return Decimal(ceil(ends / 2))


def trimmed_m(papers: Papers, ref: str, *, as_fitted: bool) -> Decimal | None:
    """Return the metres of edge that carry a trim, an edge with two trims once."""
    edges = papers.edges.get(ref, [])
    long: dict[int, int] = {}
    for edge in edges:
        whole = edge["quoted_mm"]
        if as_fitted:
            whole = fitted_length(papers.jobs[ref], edges, edge)
        if whole is None:
            return None
        long[edge["edge_no"]] = max(int(whole), long.get(edge["edge_no"], 0))
    return Decimal(sum(long.values())) / 1000 if long else None


def laminate_kg_per_m2(papers: Papers, lay_up: str) -> Decimal:
    """Return the resin of a square metre: glass x (1 - psi) / psi."""
    laid = papers.settings["lay_ups"][lay_up]
    psi = Decimal(str(laid["glass_ratio"]))
    return Decimal(sum(laid["mats_g_per_m2"])) / 1000 * (1 - psi) / psi


def areas(job: Row) -> tuple[Decimal | None, Decimal | None]:
    """Return the area as quoted and as fitted."""
    quoted, measured = exact(job["quoted_area_m2"]), exact(job.get("measured_area_m2"))
    return quoted, measured if measured is not None else quoted


def net(papers: Papers, ref: str, material: str) -> NET:
    """Return the bare need as quoted and as fitted, of trim, corner piece, resin, mat, coats."""
    job, item = papers.jobs[ref], papers.materials[material]
    kind = item["kind"]
    if kind == "trim":
        by_stage = (runs(papers, ref, material, as_fitted=flag) for flag in (False, True))
        return tuple(None if mm is None else Decimal(sum(mm)) / 1000 for mm in by_stage)
    if kind == "corner piece":
        pieces = corner_pieces(papers, ref, material)
        known = trimmed_m(papers, ref, as_fitted=True) is not None
        return pieces, pieces if known else None
    typed = papers.quoted.get((ref, material), {}).get("quoted_net_quantity")
    rate = _rate_per_m2(papers, job, item)
    by_area = [None if rate is None or area is None else rate * area for area in areas(job)]
    quoted = typed if typed is not None else by_area[0]
    fitted = by_area[1]
    if fitted is None and job.get("as_drawn") == "yes":
        fitted = typed
    return tuple(None if one is None else round_to(one, 3) for one in (quoted, fitted))


def _rate_per_m2(papers: Papers, job: Row, item: Row) -> Decimal | None:
    mats = papers.settings["lay_ups"][job["lay_up"]]["mats_g_per_m2"]
    if item["kind"] == "resin":
        return laminate_kg_per_m2(papers, job["lay_up"])
    if item["kind"] == "mat":
        return Decimal(mats.count(item["g_per_m2"]))
    if item["kind"] == "board":
        return Decimal(1) if job["work"] in {"new deck", "strip"} else None
    if item["coverage_basis"] == "net":
        return Decimal(str(item["coverage_per_m2"]))
    return None


def allowed(papers: Papers, ref: str, material: str, needed: Decimal | None) -> Decimal | None:
    """Return what the quote allowed, else the firm's own rule in force on the quote's day."""
    typed = papers.quoted.get((ref, material), {}).get("estimated_quantity")
    if typed is not None:
        return typed
    quoted_on = day(papers.jobs[ref]["quoted_on"])
    rules = [
        rule
        for rule in papers.settings["allow"]
        if rule["material"] == material and quoted_on is not None and rule["from"] <= quoted_on
    ]
    if not rules:
        return None
    rule = max(rules, key=lambda one: one["from"])
    if "per_m2" in rule:
        area = areas(papers.jobs[ref])[0]
        return None if area is None else round_to(area * Decimal(str(rule["per_m2"])), 3)
    if needed is None:
        return None
    return round_to(needed * (1 + Decimal(str(rule["ratio_on_net"]))), 3)


def least_used_up_mm(runs_mm: Sequence[int], item: Row) -> int:
    """
    Return the least mm that the runs use up, by trying every way to put them into groups.

    The runs of a group share their lengths: as many as it has forced joins, and one. What they
    need is every run less a lap, and a lap and the saw's width between them; what a length gives
    is its own less a lap. What is left of the group is one rest, kept where it is long enough.
    """
    names = ("stock_length_mm", "lap_mm", "kerf_mm", "keep_from_mm")
    return _least(tuple(sorted(runs_mm)), tuple(item[name] for name in names))


@cache
def _least(runs_mm: tuple[int, ...], sizes: tuple[int, ...]) -> int:
    least = None
    for parts in _partitions(runs_mm):
        costs = [_group_mm(group, sizes) for group in parts]
        known = [cost for cost in costs if cost is not None]
        if len(known) == len(costs) and (least is None or sum(known) < least):
            least = sum(known)
    assert least is not None
    return least


def _partitions(runs_mm: tuple[int, ...]) -> Iterator[list[tuple[int, ...]]]:
    if not runs_mm:
        yield []
        return
    first, rest = runs_mm[0], runs_mm[1:]
    for parts in _partitions(rest):
        yield [(first,), *parts]
        for at, group in enumerate(parts):
            yield [*parts[:at], (first, *group), *parts[at + 1 :]]


@cache
def _group_mm(group: tuple[int, ...], sizes: tuple[int, ...]) -> int | None:
    stock, lap, kerf, keep_from = sizes
    lengths = 1
    for run in group:
        reach = stock
        while reach < run:
            reach, lengths = reach + stock - lap, lengths + 1
    spare = lengths * (stock - lap) - sum(run + kerf for run in group) + lap + kerf
    if spare < 0:
        return None
    left = max(0, spare - kerf)
    return lengths * stock - (left if left >= keep_from else 0)


def resin_base(papers: Papers, ref: str, *, as_fitted: bool) -> Decimal | None:
    """
    Return laminate, laps of the mats, bandage and what the deck drinks, in kg.

    Area and bandage of a roof as fitted are as quoted where nobody measured again.
    """
    job = papers.jobs[ref]
    area = areas(job)[1 if as_fitted else 0]
    metres = trimmed_m(papers, ref, as_fitted=as_fitted) or trimmed_m(papers, ref, as_fitted=False)
    if area is None or metres is None:
        return None
    laid = papers.settings["lay_ups"][job["lay_up"]]
    resin_to_glass = 1 / Fraction(str(laid["glass_ratio"])) - 1
    glass = Fraction(0)
    for g_per_m2 in laid["mats_g_per_m2"]:
        roll = papers.materials[f"mat {g_per_m2}"]
        glass += Fraction(g_per_m2 * roll["width_mm"], 1000 * (roll["width_mm"] - roll["lap_mm"]))
    strip = papers.materials["bandage"]
    strip_glass = Fraction(strip["width_mm"] * strip["g_per_m2"], 1_000_000)
    soak = Fraction(str(papers.settings["soak_kg_per_m2"][job["work"]]))
    whole = Fraction(area) * (glass * resin_to_glass + soak)
    return round_to(whole + Fraction(metres) * strip_glass * resin_to_glass, 3)


def price_on(papers: Papers, material: str, on: date) -> Fraction:
    """Return the price of one pack on the list in force, for a base unit."""
    item = papers.materials[material]
    on_list = [
        row
        for row in papers.prices
        if row["material"] == material
        and row["min_packs"] == 1
        and row["valid_from"].date() <= on
        and row["supplier"] == papers.settings["supplier_for"].get(material, row["supplier"])
    ]
    row = max(on_list, key=lambda one: one["valid_from"])
    size = Fraction(str(row["pack_size"]))
    if item["kind"] == "fixing" and row["unit"] == "kg":
        size *= item["pieces_per_kg"]
    return Fraction(str(row["pack_price_gbp"])) / size


def materials_money(papers: Papers) -> dict[tuple[str, str], Decimal]:
    """Return what each job's use of each material cost at the price on the day of finishing."""
    money: dict[tuple[str, str], Decimal] = {}
    done = finished(papers)
    for (ref, material), moved in take_up(papers).items():
        used = moved["used_quantity"]
        if ref in done and used is not None:
            price = price_on(papers, material, done[ref]["completed_on"].date())
            money[ref, material] = round_to(Fraction(used) * price, 2)
    return money
