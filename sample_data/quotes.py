"""The office's papers of the jobs: quotes by quarter, edges as fitted, extras, a correction."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date, timedelta
from pathlib import Path
from random import Random

from sample_data.diary import Job
from sample_data.firm import DECKED, WALL_TRIMS
from sample_data.sheets import Cell, Sheet, write_table, write_workbook
from sample_data.work import History

JOB_HEADER = (
    "job_ref", "job_type", "work", "lay_up", "status", "quoted_on", "valid_until", "planned_on",
    "quoted_area_m2", "quoted_price_gbp", "retention_gbp",
)  # fmt: skip
EDGE_HEADER = (
    "job_ref", "edge_no", "material", "quoted_mm", "start_end", "finish_end", "upstand_mm",
)  # fmt: skip
NET_HEADER = ("job_ref", "material", "unit", "quoted_net_quantity", "estimated_quantity")
RESIN_KG_PER_M2 = {"600 single": 2.0, "450 double": 3.0}
CORRECTED_QUARTER = "2025 q1"
EXTRA_WORDS = (
    ("two rotten joist ends renewed", 140),
    ("new outlet to the gutter", 95),
    ("rooflight kerb dressed", 180),
    ("old felt in two layers taken away", 120),
)


@dataclass
class _Papers:
    jobs: list[list[Cell]]
    edges: list[list[Cell]]
    nets: list[list[Cell]]


def name_quarter(day: date) -> str:
    """Return a quarter as the office writes it: 2025 q1."""
    return f"{day.year} q{(day.month + 2) // 3}"


def write_quotes(folder: Path, history: History) -> None:
    """Write a workbook of quotes for each quarter."""
    for quarter, jobs in _group(history.jobs, lambda job: job.quoted_on).items():
        _write_quarter(folder / f"quotes {quarter}.xlsx", _fill_papers(jobs))


def write_correction(folder: Path, history: History) -> None:
    """Write one quarter again, if it had work: two prices and one upstand put right."""
    jobs = _group(history.jobs, lambda job: job.quoted_on).get(CORRECTED_QUARTER, [])
    if not any(job.completed_on for job in jobs):
        return
    papers = _fill_papers(jobs)
    done = [job.job_ref for job in jobs if job.completed_on and job.sketch == "as drawn"][:2]
    for row in papers.jobs:
        if row[0] in done:
            row[9] = float(str(row[9])) + 60.0
    for row in [row for row in papers.edges if row[0] in done and row[6]][:1]:
        row[6] = 100
    _write_quarter(folder / f"quotes {CORRECTED_QUARTER} v2.xlsx", papers)


def _group(jobs: list[Job], find_day: Callable[[Job], date | None]) -> dict[str, list[Job]]:
    groups: dict[str, list[Job]] = {}
    for job in jobs:
        day = find_day(job)
        if day is not None:
            groups.setdefault(name_quarter(day), []).append(job)
    return groups


def _write_quarter(path: Path, papers: _Papers) -> None:
    sheets = [
        Sheet("jobs", JOB_HEADER, papers.jobs),
        Sheet("edges", EDGE_HEADER, papers.edges),
        Sheet("job_materials", NET_HEADER, papers.nets),
    ]
    write_workbook(path, sheets)


def _fill_papers(jobs: list[Job]) -> _Papers:
    papers = _Papers([], [], [])
    for job in jobs:
        papers.jobs.append(_fill_job(job))
        papers.edges += [
            [job.job_ref, edge.edge_no, edge.trim, edge.quoted_mm, edge.start_end,
             edge.finish_end, edge.upstand_mm or None]
            for edge in job.roof.edges
        ]  # fmt: skip
        papers.nets += _fill_nets(job)
    return papers


def _fill_job(job: Job) -> list[Cell]:
    return [
        job.job_ref, job.kind.name, job.work, job.lay_up, job.status, job.quoted_on,
        job.quoted_on + timedelta(60), job.planned_on, round(job.roof.quoted_area_m2, 2),
        float(job.price_gbp), float(job.retention_gbp) if job.retention_gbp else None,
    ]  # fmt: skip


def _fill_nets(job: Job) -> list[list[Cell]]:
    """List what the drawing alone does not give: colour, deck, battens, primer, rich lay-ups."""
    area = job.roof.quoted_area_m2
    edges = job.roof.edges
    battens = sum(edge.quoted_mm for edge in edges if edge.trim not in WALL_TRIMS)
    flashing = sum(edge.quoted_mm for edge in edges if edge.trim == WALL_TRIMS[1])
    rows: list[list[Cell]] = [
        [job.job_ref, job.topcoat, "kg", round(area * 0.5, 2), None],
        [job.job_ref, "batten", "m", round(battens / 1000, 2), None],
    ]
    if job.work in DECKED:
        rows.append([job.job_ref, "deck board", "m2", round(area, 2), None])
    if job.work == "overlay":
        rows.append([job.job_ref, "primer", "kg", round(area * 0.15, 2), None])
    if flashing:
        rows.append([job.job_ref, "sealant", "ml", round(flashing * 0.036), None])
    if job.lay_up in RESIN_KG_PER_M2:
        rate = RESIN_KG_PER_M2[job.lay_up]
        rows.append([job.job_ref, "resin", "kg", None, round(area * rate, 1)])
    return rows


def write_fitted(folder: Path, history: History) -> None:
    """Write the edges measured again, a file for each quarter of finishing."""
    measured = [job for job in history.jobs if job.sketch == "measured"]
    for quarter, jobs in _group(measured, lambda job: job.completed_on).items():
        rows = [
            (job.job_ref, edge.edge_no, edge.trim, edge.quoted_mm, edge.fitted_mm)
            for job in jobs
            for edge in job.roof.edges
        ]
        header = ("job_ref", "edge_no", "material", "quoted_mm", "fitted_mm")
        write_table(folder / f"edges fitted {quarter}.csv", header, rows)


def write_extras(folder: Path, history: History, rng: Random) -> None:
    """Write the extras agreed on site: larger roofs in part, and what was found."""
    rows: list[tuple[Cell, ...]] = []
    for job in history.jobs:
        if job.completed_on is None:
            continue
        agreed_on = job.completed_on - timedelta(rng.randint(0, 2))
        added = round(job.roof.fitted_area_m2 - job.roof.quoted_area_m2, 2)
        number = 0
        if added > 0.04 * job.roof.quoted_area_m2 and rng.random() < 0.7:
            price = 5 * round(added * job.kind.price_gbp_per_m2 / 5)
            number += 1
            rows.append(
                (job.job_ref, number, agreed_on, "roof larger than drawn", f"{price}.00", added)
            )
        if rng.random() < 0.08:
            words, price = rng.choice(EXTRA_WORDS)
            number += 1
            rows.append((job.job_ref, number, agreed_on, words, f"{price}.00", None))
    header = ("job_ref", "extra_no", "agreed_on", "words", "price_gbp", "added_area_m2")
    write_table(folder / "extras.csv", header, rows)
