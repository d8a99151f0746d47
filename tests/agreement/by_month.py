"""What months and job types come to by hand, and what was bought, counted and booked."""

from collections import defaultdict
from datetime import date
from decimal import Decimal
from fractions import Fraction

from tests.agreement.by_hand import (
    allowed,
    finished,
    materials_money,
    net,
    price_on,
    take_up,
)
from tests.agreement.lots_by_hand import left_after_materials
from tests.agreement.papers import Papers, Row, day, round_to

LATELY = (date(2026, 3, 1), date(2026, 5, 31))
NOT_COMING = {"lost", "lapsed", "cancelled"}


def is_lately(job: Row) -> bool:
    """Say whether a job was finished in the last three months."""
    return LATELY[0] <= job["completed_on"].date() <= LATELY[1]


def left_by(papers: Papers, name: str, *, lately: bool) -> dict[object, tuple[int, Decimal]]:
    """Return the number of jobs and what they left after materials, by job type or month."""
    done = finished(papers)
    sums: dict[object, tuple[int, Decimal]] = defaultdict(lambda: (0, Decimal(0)))
    for ref, figures in left_after_materials(papers).items():
        if not lately or is_lately(done[ref]):
            count, gbp = sums[figures[name]]
            sums[figures[name]] = (count + 1, gbp + figures["left_gbp"])
    return dict(sums)


def allowed_beside_used(
    papers: Papers, materials: tuple[str, ...]
) -> dict[str, tuple[Decimal, Decimal, Decimal, int]]:
    """Return allowed, used, the difference in pounds and the jobs, of the last three months."""
    done, moved, money = finished(papers), take_up(papers), materials_money(papers)
    found: dict[str, tuple[Decimal, Decimal, Decimal, int]] = {}
    for material in materials:
        sums = (Decimal(0), Decimal(0), Decimal(0), 0)
        for ref, job in done.items():
            used = moved.get((ref, material), {}).get("used_quantity")
            by_rule = allowed(papers, ref, material, net(papers, ref, material)[0])
            if not is_lately(job) or used is None or by_rule is None:
                continue
            price = price_on(papers, material, job["completed_on"].date())
            more = money[ref, material] - round_to(Fraction(by_rule) * price, 2)
            sums = (sums[0] + by_rule, sums[1] + used, sums[2] + more, sums[3] + 1)
        found[material] = sums
    return found


def bought_by_month(papers: Papers) -> dict[tuple[str, date], tuple[Decimal, Decimal, Decimal]]:
    """Return packs, quantity and net of goods on invoices by material and month of delivery."""
    sums: dict[tuple[str, date], tuple[Decimal, ...]] = defaultdict(lambda: (Decimal(0),) * 3)
    for line in papers.purchases:
        if line["material"] and line["quantity"] and line["quantity"] > 0:
            key = (line["material"], line["on"].replace(day=1))
            figures = (line["packs"], line["quantity"], line["line_net_gbp"])
            sums[key] = tuple(was + more for was, more in zip(sums[key], figures, strict=True))
    return dict(sums)


def last_counts(papers: Papers) -> dict[str, tuple[date, Decimal]]:
    """Return the day and the quantity in all places of each material's last count."""
    found: dict[str, tuple[date, Decimal]] = {}
    for row in papers.counts:
        on, quantity = found.get(row["material"], (date.min, Decimal(0)))
        if row["counted_on"] > on:
            on, quantity = row["counted_on"], Decimal(0)
        if row["counted_on"] == on:
            found[row["material"]] = (on, quantity + row["quantity"])
    return found


def booked(papers: Papers) -> list[str]:
    """Return the jobs that have a day, are not finished and were not lost."""
    return [
        ref
        for ref, job in papers.jobs.items()
        if day(job["planned_on"])
        and not day(job.get("completed_on"))
        and job["status"] not in NOT_COMING
    ]


def booked_need(papers: Papers, material: str) -> Decimal:
    """Return what the booked jobs are allowed of a material; of coats, where the quote names it."""
    found = Decimal(0)
    for ref in booked(papers):
        is_coat = papers.materials[material]["kind"] in {"topcoat", "primer"}
        if is_coat and (ref, material) not in papers.quoted:
            continue
        need = net(papers, ref, material)[0]
        found += allowed(papers, ref, material, need) or 0
    return found
