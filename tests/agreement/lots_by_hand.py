"""
What used stock cost, worked out a second time: lots walked one by one, in fractions of a penny.

The run puts lots and movements end to end and takes what overlaps; here each movement takes from
the oldest lot that has something left, as a person would with cards in a box.
"""

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from tests.agreement.by_hand import finished, price_on, take_up
from tests.agreement.papers import FIRM, Papers, Row, day, exact, read_csv, round_to

KEY = tuple[str, str]
Movement = tuple[date, str, str, str, Decimal]
REUSE_SHARE = Fraction(1, 2)


@dataclass
class Layer:
    """A lot, or a row of racked pieces: its pence, its size, and how much of it is gone."""

    on: date
    size: Fraction
    pence: int
    gone: Fraction = Fraction(0)

    def take(self, wanted: Fraction) -> tuple[Fraction, int]:
        """Return how much it gives and for how many pence, so that all of it gives all of them."""
        part = min(wanted, self.size - self.gone)
        before = round_to(self.pence * self.gone / self.size, 0)
        self.gone += part
        return part, int(round_to(self.pence * self.gone / self.size, 0) - before)


def used_money(papers: Papers) -> dict[KEY, Decimal]:
    """Return what each job's use of each material cost: its lots, less and with rack pieces."""
    issued = issued_pence(papers)
    used, racked, charged = take_up(papers), *_rack(papers, issued)
    return {
        key: Decimal(issued.get(key, 0) - racked.get(key, 0) + charged.get(key, 0)).scaleb(-2)
        for key, moved in used.items()
        if moved["used_quantity"] is not None
    }


def left_after_materials(papers: Papers) -> dict[str, dict[str, Any]]:
    """Return price, materials and what is left of each finished job."""
    money = used_money(papers)
    spent: dict[str, Decimal] = defaultdict(Decimal)
    for (ref, _), gbp in money.items():
        spent[ref] += gbp
    agreed: dict[str, Decimal] = defaultdict(Decimal)
    for row in papers.extras:
        agreed[row["job_ref"]] += exact(row["price_gbp"]) or 0
    return {
        ref: {
            "price_gbp": exact(job["quoted_price_gbp"]) + agreed[ref],
            "materials_gbp": spent[ref],
            "left_gbp": exact(job["quoted_price_gbp"]) + agreed[ref] - spent[ref],
            "job_type": job["job_type"],
            "month_on": job["completed_on"].date().replace(day=1),
        }
        for ref, job in finished(papers).items()
    }


def issued_pence(papers: Papers) -> dict[KEY, int]:
    """
    Return what the lots that a job took from cost, what came back taken off.

    Beyond all lots, as where the paper of a delivery never came, the list of the day holds.
    """
    layers, costs = _lots(papers), {}
    movements = [*_taken(papers), *_lost()]
    movements += _hold_to_counts(papers, layers, movements)
    for on, _, ref, material, quantity in sorted(movements):
        wanted, pence = Fraction(quantity), 0
        for layer in layers[material]:
            part, paid = layer.take(wanted)
            wanted, pence = wanted - part, pence + paid
        beyond = round_to(wanted * price_on(papers, material, on), 2) if wanted else 0
        costs[ref, material] = pence + int(beyond * 100)
    return costs


def _hold_to_counts(
    papers: Papers, lots: dict[str, list[Layer]], movements: list[Movement]
) -> list[Movement]:
    """Return what counts found less than there should be; what they found more becomes a lot."""
    missing: list[Movement] = []
    for material, layers in lots.items():
        counts = _stood(papers, material)
        for on in sorted(counts)[1:]:
            came = sum(layer.size for layer in layers if layer.on <= on)
            went = sum(
                row[4] for row in [*movements, *missing] if row[3] == material and row[0] <= on
            )
            less = came - Fraction(went) - Fraction(counts[on])
            if less > 0:
                missing.append((on, "~ count", "", material, _as_decimal(less)))
            elif less < 0:
                worth = round_to(-less * price_on(papers, material, on), 2)
                layers.append(Layer(on, -less, int(worth * 100)))
                layers.sort(key=lambda layer: layer.on)
    return missing


def _as_decimal(thousandths: Fraction) -> Decimal:
    return Decimal(int(thousandths * 1000)).scaleb(-3)


def _taken(papers: Papers) -> Iterator[Movement]:
    done = finished(papers)
    for (ref, material), moved in take_up(papers).items():
        kept = (moved.get("issued_quantity") or 0) - (moved.get("returned_quantity") or 0)
        if kept > 0:
            yield done[ref]["completed_on"].date(), "job", ref, material, kept


def _lost() -> Iterator[Movement]:
    for row in read_csv(FIRM / "inbox" / "losses without a job.csv"):
        yield day(row["lost_on"]), "loss", "", row["material"], Decimal(row["quantity"])


def _lots(papers: Papers) -> dict[str, list[Layer]]:
    """Return the first count and every line of goods after it, oldest first."""
    lots: dict[str, list[Layer]] = defaultdict(list)
    for material, (on, quantity) in _opening(papers).items():
        if quantity:
            worth = round_to(Fraction(quantity) * price_on(papers, material, on), 2)
            lots[material].append(Layer(on, Fraction(quantity), int(worth * 100)))
    for line in sorted(_goods(papers), key=_place):
        assert line["on"] > _opening(papers)[line["material"]][0]
        quantity = Fraction(line["quantity"])
        if quantity:
            lots[line["material"]].append(Layer(line["on"], quantity, line["pence"]))
    return lots


def _place(line: Row) -> tuple[object, ...]:
    return line["on"], line["supplier"], line["document_no"], int(line["line_no"] or 0)


def _opening(papers: Papers) -> dict[str, tuple[date, Decimal]]:
    first = {material: _stood(papers, material) for material in papers.materials}
    return {material: min(counts.items()) for material, counts in first.items() if counts}


def _stood(papers: Papers, material: str) -> dict[date, Decimal]:
    """Return what stood there in the lots by day: no rack pieces, no open packs once booked."""
    whole = papers.materials[material].get("stock_length_mm") or 0
    hows = [row["how"] for row in papers.cards if row["material"] == material]
    column = "sealed" if set(hows) == {"whole packs"} else "quantity"
    stood: dict[date, Decimal] = defaultdict(Decimal)
    for row in papers.counts:
        if row["material"] == material:
            is_piece = (row.get("length_mm") or whole) < whole
            stood[row["counted_on"]] += 0 if is_piece else row[column]
    return stood


def _goods(papers: Papers) -> list[Row]:
    """Return the lines of goods with their share of delivery, less what was credited on them."""
    documents: dict[tuple[str, str], list[Row]] = defaultdict(list)
    for line in papers.purchases:
        documents[line["supplier"], line["document_no"]].append(line)
    goods = [line for lines in documents.values() for line in _landed(lines)]
    for credit in papers.purchases:
        if credit["line_net_gbp"] < 0:
            _credit(credit, goods)
    return goods


def _landed(lines: list[Row]) -> list[Row]:
    goods = [line for line in lines if line["material"] and line["line_net_gbp"] > 0]
    beside = sum(int(line["line_net_gbp"] * 100) for line in lines if not line["material"])
    worth = [int(line["line_net_gbp"] * 100) for line in goods]
    shares = [beside * each // sum(worth) for each in worth]
    order = sorted(range(len(goods)), key=lambda at: (-(beside * worth[at] % sum(worth)), at))
    for at in order[: beside - sum(shares)]:
        shares[at] += 1
    return [
        line | {"pence": each + share}
        for line, each, share in zip(goods, worth, shares, strict=True)
    ]


def _credit(credit: Row, goods: list[Row]) -> None:
    (line,) = [
        line
        for line in goods
        if line["document_no"] == credit["credits_document_no"]
        and line["material"] == credit["material"]
        and line["supplier"] == credit["supplier"]
    ]
    line["pence"] += int(credit["line_net_gbp"] * 100)
    line["quantity"] += credit["quantity"] or 0


def _rack(papers: Papers, issued: dict[KEY, int]) -> tuple[dict[KEY, int], dict[KEY, int]]:
    """
    Return the pence that racked pieces take off a job, and those that used ones bring.

    A metre racked is worth what the job's own new lengths cost, else what the list says.
    """
    moves = sorted(_moves(papers))
    kept = take_up(papers)
    racked: dict[KEY, int] = defaultdict(int)
    charged: dict[KEY, int] = defaultdict(int)
    rack: dict[str, list[Layer]] = defaultdict(list)
    for on, is_out, ref, mm, trim in moves:
        if not is_out:
            a_metre = price_on(papers, trim, on) * 100
            if (ref, trim) in issued:
                moved = kept[ref, trim]
                metres = moved["issued_quantity"] - (moved.get("returned_quantity") or 0)
                a_metre = issued[ref, trim] / Fraction(metres)
            pence = int(round_to(a_metre * Fraction(mm, 1000) * _share(moves, on), 0))
            racked[ref, trim] += pence
            rack[trim].append(Layer(on, Fraction(mm), pence))
    for _, is_out, ref, mm, trim in moves:
        wanted = Fraction(mm) if is_out else Fraction(0)
        for layer in rack[trim]:
            part, pence = layer.take(wanted)
            wanted -= part
            charged[ref, trim] += pence
    return racked, charged


def _moves(papers: Papers) -> Iterator[tuple[date, bool, str, int, str]]:
    done = finished(papers)
    for piece in papers.offcuts:
        if piece["fate"] == "binned":
            continue
        ref = piece["job_ref"]
        on = done[ref]["completed_on"].date()
        yield on, piece["fate"] == "from_rack", ref, piece["length_mm"], piece["material"]
    for row in read_csv(FIRM / "inbox" / "rack offcuts cleared.csv"):
        yield day(row["moved_on"]), True, "~", int(row["length_mm"]), row["material"]


def _share(moves: list[tuple[date, bool, str, int, str]], on: date) -> Fraction:
    before = [move for move in moves if move[0] < on.replace(day=1)]
    racked = [mm for _, is_out, _, mm, _ in before if not is_out]
    used = sum(mm for _, is_out, ref, mm, _ in before if is_out and ref != "~")
    return min(Fraction(used, sum(racked)), Fraction(1)) if len(racked) >= 20 else REUSE_SHARE
