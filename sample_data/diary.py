"""The firm's diary: which jobs were quoted, won, lost, done, when and by which van."""

from dataclasses import dataclass
from datetime import date, timedelta
from random import Random

from sample_data.days import end_month, find_working, is_working, list_months
from sample_data.firm import CREWS, FIRST_MONTH, JOB_TYPES, LAY_UPS, JobType
from sample_data.roofs import Roof, allow_materials, draw_roof

JOBS_BY_MONTH = (6, 7, 9, 10, 11, 11, 11, 10, 11, 10, 8, 6)
DECK_C_BY_MONTH = (5, 6, 9, 13, 17, 21, 23, 22, 18, 13, 8, 6)
FIRST_QUOTE_ON = date(2024, 4, 2)


@dataclass(frozen=True)
class Job:
    """A quote and what became of it; dates are None where it did not come to that."""

    job_ref: str
    kind: JobType
    work: str
    lay_up: str
    topcoat: str
    roof: Roof
    quoted_on: date
    planned_on: date | None
    completed_on: date | None
    crew: str
    status: str
    price_gbp: str
    retention_gbp: str
    sketch: str
    deck_c: int

    @property
    def allowed(self) -> dict[str, int]:
        """What the firm allows for the job, by material, in thousandths of base units."""
        return allow_materials(self.roof, LAY_UPS[self.lay_up], self.work, self.topcoat)


@dataclass(frozen=True)
class _Slot:
    quoted_on: date
    planned_on: date | None
    completed_on: date | None
    crew: str
    status: str


def quote_jobs(rng: Random, months: int) -> list[Job]:
    """Return all jobs of the diary in the order of their references."""
    slots = _finish_slots(rng, months) + _later_slots(rng, months) + _idle_slots(rng, months)
    slots.sort(key=lambda slot: (slot.quoted_on, slot.completed_on or date.max, slot.crew))
    counts: dict[int, int] = {}
    jobs = []
    for slot in slots:
        year = slot.quoted_on.year
        counts[year] = counts.get(year, 0) + 1
        jobs.append(_quote_job(rng, f"{year}-{counts[year]:03d}", slot))
    return jobs


def _finish_slots(rng: Random, months: int) -> list[_Slot]:
    slots = []
    for month_on in list_months(months):
        days = [month_on + timedelta(n) for n in range((end_month(month_on) - month_on).days + 1)]
        free = [(day, crew) for day in days if is_working(day) for crew in CREWS]
        for day, crew in rng.sample(free, JOBS_BY_MONTH[month_on.month - 1]):
            planned = max(FIRST_MONTH, day - timedelta(rng.choice((0, 0, 1, 2, 5))))
            quoted = max(FIRST_QUOTE_ON, day - timedelta(rng.randint(18, 75)))
            slots.append(_Slot(find_working(quoted), planned, day, crew, ""))
    return slots


def _later_slots(rng: Random, months: int) -> list[_Slot]:
    """Twelve booked jobs after the last month, and eight quotes still open."""
    last = end_month(list_months(months)[-1])
    booked = [
        _Slot(
            find_working(last - timedelta(rng.randint(3, 60))),
            find_working(last + timedelta(2 + 5 * n)),
            None,
            CREWS[n % 2],
            "",
        )
        for n in range(12)
    ]
    open_on = [last - timedelta(rng.randint(1, 25)) for _ in range(8)]
    return booked + [_Slot(find_working(day), None, None, "", "") for day in open_on]


def _idle_slots(rng: Random, months: int) -> list[_Slot]:
    days = (end_month(list_months(months)[-1]) - FIRST_QUOTE_ON).days
    slots = []
    for n in range(3 * months):
        status = "lapsed" if n % 4 == 0 else "lost"
        quoted = FIRST_QUOTE_ON + timedelta(rng.randint(0, days - 70))
        slots.append(_Slot(find_working(quoted), None, None, "", status))
    return slots


def _quote_job(rng: Random, job_ref: str, slot: _Slot) -> Job:
    kind = rng.choices(JOB_TYPES, [each.share for each in JOB_TYPES])[0]
    roof = draw_roof(rng, kind)
    work = rng.choice(kind.works)
    lay_up = "600 single" if work == "overlay" and kind.lay_up == "450 single" else kind.lay_up
    topcoat = f"topcoat {rng.choices(('light grey', 'dark grey'), (7, 3))[0]}"
    decking = {"new deck": 20, "strip": 32}.get(work, 0)
    price = kind.price_gbp + roof.quoted_area_m2 * (kind.price_gbp_per_m2 + decking)
    price = 10 * round(price * rng.uniform(0.95, 1.08) / 10)
    held = price * 0.05 if kind.name == "balcony" and rng.random() < 0.4 else 0
    done = slot.completed_on
    warmth = DECK_C_BY_MONTH[(done or slot.quoted_on).month - 1] + round(rng.gauss(0, 3))
    sketch = rng.choices(("measured", "as drawn", ""), (70, 20, 10))[0]
    return Job(
        job_ref, kind, work, lay_up, topcoat, roof, slot.quoted_on, slot.planned_on, done,
        slot.crew, slot.status, f"{price}.00", f"{held:.2f}" if held else "", sketch,
        max(5, min(34, warmth)),
    )  # fmt: skip
