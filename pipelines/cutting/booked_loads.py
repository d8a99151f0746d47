"""What trim to load for the booked jobs: new lengths, and pieces of the rack."""

from collections.abc import Mapping
from typing import Any

import polars as pl

from pipelines.cutting.past_plans import gather_runs, read_problem
from pipelines.cutting.plans import CutPlan, Offcut
from pipelines.cutting.with_rack import plan_with_rack
from pipelines.errors import QuantityError
from schemas.frames import shape_of

Rack = dict[str, list[int]]

_KEY = ("planned_on", "job_ref", "material")


def plan_loads(runs: pl.DataFrame, rack: pl.DataFrame) -> pl.DataFrame:
    """
    Plan each trim of each booked job from new lengths and what is left on the rack.

    Jobs come in the order of their days, those without a day last; a piece that a job takes is
    gone for the later ones, and what a job leaves over is not counted on.

    Args:
        runs: as `feed.booked_run`, a row per run.
        rack: as `stock.rack_piece`: material, length_mm, pieces.

    Returns:
        One row per job and trim, shaped as `result.cut_load`: lengths in whole mm. `gap_mm` is
        how much better another plan could be at most; where no plan can be made the figures are
        null and `problem` says why.

    """
    on_rack = _lay_out(rack)
    jobs = gather_runs(runs, _KEY).iter_rows(named=True)
    loads = [_plan_load(job, on_rack) for job in jobs]
    return pl.DataFrame(loads, schema=shape_of("result.cut_load"))


def _lay_out(rack: pl.DataFrame) -> Rack:
    pieces: Rack = {}
    ordered = rack.sort("material", "length_mm").select("material", "length_mm", "pieces")
    for material, length_mm, count in ordered.iter_rows():
        pieces.setdefault(material, []).extend([length_mm] * count)
    return pieces


def _plan_load(job: Mapping[str, Any], on_rack: Rack) -> dict[str, Any]:
    key = {name: job[name] for name in _KEY}
    lengths_mm = on_rack.get(key["material"], [])
    offcuts = [Offcut(f"{at:05d}", length_mm) for at, length_mm in enumerate(lengths_mm)]
    try:
        plan = plan_with_rack(*read_problem(job), offcuts)
    except QuantityError as error:
        return key | {"problem": str(error)}
    taken = [each.length_mm for each in plan.lengths if each.offcut_label is not None]
    for length_mm in taken:
        lengths_mm.remove(length_mm)
    return key | _figures(plan, taken)


def _figures(plan: CutPlan, taken_mm: list[int]) -> dict[str, Any]:
    return {
        "lengths_count": plan.new_lengths_count,
        "rack_pieces_mm": ", ".join(map(str, sorted(taken_mm))) or None,
        "rack_count": len(taken_mm),
        "net_mm": plan.run_mm,
        "kept_mm": plan.kept_mm,
        "gap_mm": plan.cost_mm - plan.bound_mm,
    }
