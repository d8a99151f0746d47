"""From a job's figures to file, sheet and row."""

from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

import polars as pl

from pipelines.checking.names import Names
from pipelines.errors import UnknownNameError
from pipelines.month.folder import open_folder
from pipelines.month.trace_sources import TraceSources
from pipelines.month.traced import Figure, TracedJob, TracedMaterial
from pipelines.warehouse.connection import Connection, open_for_reading
from pipelines.warehouse.tables import fetch

Row = Mapping[str, Any]

_LINES = (
    "usage.net_quantity", "usage.allowed", "usage.job_quantity", "comparison.use_by_job",
)  # fmt: skip
_STAGES = ("quoted", "fitted")


def trace_job(root: Path, job: str, material: str | None = None) -> TracedJob:
    """
    Return the figures of a job, each with what it rests on, from the published warehouse.

    Args:
        root: the firm's folder.
        job: the job's reference, as people write it.
        material: one material; every material of the job where none is named.

    Raises:
        UnknownNameError: no such job, or no such material on it; the message names near ones.

    """
    with open_for_reading(open_folder(root).warehouse) as published:
        jobs = fetch(published, "ledger.jobs")
        job_ref = _known(jobs["job_ref"], "job", job, references=True)
        row = jobs.filter(pl.col("job_ref") == job_ref).row(0, named=True)
        sources = TraceSources(published, row)
        lines = _lines(published, job_ref)
        names = sorted(lines)
        if material is not None:
            names = [_known(names, f"material of {job_ref}", material, references=False)]
        held = fetch(published, "learn.held_back").filter(pl.col("job_ref") == job_ref)
        return TracedJob(
            job_ref,
            row["job_type"],
            row["status"],
            row["completed_on"],
            _job_figures(published, row, sources),
            tuple(_trace(sources, lines[name], held) for name in names),
        )


def _known(names: Iterable[str], sort: str, asked: str, *, references: bool) -> str:
    match = Names(names, sort, references=references).match(asked)
    if match.name is None:
        raise UnknownNameError(f"'{asked}' {match.fault}")
    return match.name


def _lines(published: Connection, job_ref: str) -> dict[str, dict[str, Any]]:
    """Return what each relation says of a material of the job, in one row a material."""
    lines: dict[str, dict[str, Any]] = {}
    for relation in _LINES:
        rows = fetch(published, relation).filter(pl.col("job_ref") == job_ref)
        for row in rows.iter_rows(named=True):
            told = {f"{relation}.{name}": value for name, value in row.items()}
            lines.setdefault(row["material"], {}).update(row, **told)
    bases = fetch(published, "learn.base_quantity").filter(pl.col("job_ref") == job_ref)
    for row in bases.iter_rows(named=True):
        lines[row["material"]][f"{row['stage']}_base_quantity"] = row["base_quantity"]
    return lines


def _job_figures(published: Connection, job: Row, sources: TraceSources) -> tuple[Figure, ...]:
    areas = tuple(
        Figure(f"area {word}", job[column], "m2", rests_on=sources.job_column(column))
        for word, column in (("quoted", "quoted_area_m2"), ("measured", "measured_area_m2"))
    )
    margins = fetch(published, "margin.job").filter(pl.col("job_ref") == job["job_ref"])
    for row in margins.iter_rows(named=True):
        paid = sources.job_column("quoted_price_gbp") + sources.extras()
        return (
            *areas,
            Figure("price", row["price_gbp"], "GBP", "quote and extras", rests_on=paid),
            Figure("materials", row["materials_gbp"], "GBP", _say_materials(row), ("cost",)),
            Figure("left", row["left_gbp"], "GBP", "price - materials", ("price", "materials")),
            *_printed(published, job["job_ref"], sources),
        )  # fmt: skip
    return areas


def _say_materials(row: Row) -> str:
    """Return what a job's materials are the sum of."""
    count, first_job = row["put_right_count"], row["first_job_ref"]
    parts = [
        "sum of the cost, line by line",
        f"VAT that is not taken back, £{row['vat_gbp']}" if row["vat_gbp"] else "",
        f"{count} call-back{'s' if count > 1 else ''}, £{row['put_right_gbp']}" if count else "",
    ]
    said = " + ".join(part for part in parts if part)
    return f"{said}; in the cost of {first_job}, which it puts right" if first_job else said


def _printed(published: Connection, job_ref: str, sources: TraceSources) -> Iterable[Figure]:
    """Yield what was printed for the job when its month was closed, and why it differs if so."""
    of_job = pl.col("job_ref") == job_ref
    restated = fetch(published, "comparison.restatement").filter(of_job)
    causes = dict(restated.select("figure", "cause").iter_rows())
    closed = fetch(published, "ledger.closed_figures").filter(of_job)
    for figure, gbp in closed.sort("month_on", "figure").select("figure", "gbp").iter_rows():
        how = causes.get(figure, "as it stands")
        kept = sources.printed(figure)
        yield Figure(f"{figure} as printed when closed", gbp, "GBP", how, rests_on=kept)


def _trace(sources: TraceSources, line: Row, held: pl.DataFrame) -> TracedMaterial:
    figures = (
        *_needed(sources, line),
        _allowed(sources, line),
        *_moved(sources, line),
        *_money(sources, line),
    )
    reasons = held.filter(pl.col("material") == line["material"])["reason"].to_list()
    return TracedMaterial(line["material"], line["base_unit"], figures, tuple(reasons))


def _needed(sources: TraceSources, line: Row) -> list[Figure]:
    figures = []
    for stage in _STAGES:
        name, how = f"net {stage}", line[f"{stage}_how"]
        column = f"{stage}_net_quantity"
        if how == "typed":
            rests = sources.card(line["material"], column)
        else:
            rests = sources.drawing(line, stage) if how else ()
        net = line[f"usage.net_quantity.{column}"]
        figures.append(Figure(name, net, line["base_unit"], how or "", rests_on=rests))
        base = line.get(f"{stage}_base_quantity")
        on_top = sources.base(line) if base is not None else ()
        figures.append(Figure(f"base {stage}", base, line["base_unit"], "", (name,), on_top))
    return figures


def _allowed(sources: TraceSources, line: Row) -> Figure:
    how = line["usage.allowed.how"]
    value, unit = line["usage.allowed.allowed_quantity"], line["base_unit"]
    if how == "rule":
        rests = sources.rule(line)
        on_net = any(source.column == "allow.ratio_on_net" for source in rests)
        return Figure("allowed", value, unit, how, ("net quoted",) if on_net else (), rests)
    typed = sources.card(line["material"], "estimated_quantity") if how == "typed" else ()
    return Figure("allowed", value, unit, how or "", rests_on=typed)


def _moved(sources: TraceSources, line: Row) -> list[Figure]:
    def figure(name: str, rests: Any) -> Figure:  # noqa: ANN401
        value = line.get(f"usage.job_quantity.{name.replace(' ', '_')}_quantity")
        return Figure(name, value, line["base_unit"], rests_on=rests)

    material = line["material"]
    used = line.get("usage.job_quantity.used_quantity")
    parts = ("issued", "from rack", "returned", "racked")
    return [
        figure("issued", sources.card(material, "issued_quantity")),
        figure("returned", sources.card(material, "returned_quantity")),
        figure("from rack", sources.pieces(material, "from_rack")),
        figure("racked", sources.pieces(material, "racked")),
        Figure("used", used, line["base_unit"], "issued + from rack - returned - racked", parts),
    ]


def _money(sources: TraceSources, line: Row) -> list[Figure]:
    """Return price and money of a finished job's line; a job that is not finished has none."""
    if "comparison.use_by_job.price_gbp" not in line:
        return []
    unit = f"GBP a {line['base_unit']}"
    how = line["price_how"] or ""
    rests = sources.price(line["material"])
    return [
        Figure("price", line["price_gbp"], unit, how, rests_on=rests),
        *(
            Figure(f"{word} money", line[f"{word}_gbp"], "GBP", f"{word} x price", (word, "price"))
            for word in ("allowed", "used")
        ),
        Figure("cost", line["cost_gbp"], "GBP", line["cost_how"] or "",
               ("issued", "returned", "from rack", "racked")),
    ]  # fmt: skip
