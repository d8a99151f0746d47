"""Plans of the trims and battens of all jobs, as frames."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any

import polars as pl

from pipelines.cutting.least_lengths import plan_least
from pipelines.cutting.no_reuse import plan_without_reuse
from pipelines.cutting.plans import CutPlan, LengthRules, Run
from pipelines.errors import QuantityError
from pipelines.quantities import MM_IN_M
from schemas.frames import shape_of

KEY = ("job_ref", "material", "kind", "stage")
RULES = (
    "stock_length_mm", "lap_mm", "kerf_mm", "keep_from_mm", "least_piece_mm", "joint_rule",
    "joint_price_mm",
)  # fmt: skip
BEST, NO_REUSE = "best", "no re-use"
NOT_PROVEN = "a better plan is not ruled out"


@dataclass(frozen=True)
class JobPlans:
    """`cut_job`: a row per job, material, stage and plan; `cut_piece`: a row per piece of it."""

    cut_job: pl.DataFrame
    cut_piece: pl.DataFrame


def plan_jobs(runs: pl.DataFrame) -> JobPlans:
    """
    Plan each trim and batten of each job, with its lengths used again and without.

    Args:
        runs: one row per job_ref, material, stage (quoted, fitted) and edge_no: kind, run_mm,
            stock_length_mm, lap_mm, kerf_mm, keep_from_mm, least_piece_mm, joint_rule,
            joint_price_mm; lengths in whole mm.

    Returns:
        Frames shaped as `result.cut_job` and `result.cut_piece`, sorted by key, quantities in
        metres exact to the mm; pieces of the best plan only. `bound_quantity` is what is used up
        less the most that a better plan might save, its joins priced too. Where a run or a rule
        is blank or can't be, the figures are null and `problem` says why.

    """
    rows: list[dict[str, Any]] = []
    pieces: list[dict[str, Any]] = []
    for job in gather_runs(runs, KEY).iter_rows(named=True):
        key = {name: job[name] for name in KEY}
        try:
            best, plain = _plan_runs(*read_problem(job))
        except QuantityError as error:
            rows += [key | {"plan": plan, "problem": str(error)} for plan in (BEST, NO_REUSE)]
            continue
        rows += [key | _figures(BEST, best), key | _figures(NO_REUSE, plain)]
        pieces += [key | piece for piece in _list_pieces(best)]
    return JobPlans(
        pl.DataFrame(rows, schema=shape_of("result.cut_job")),
        pl.DataFrame(pieces, schema=shape_of("result.cut_piece")),
    )


def gather_runs(runs: pl.DataFrame, key: Sequence[str]) -> pl.DataFrame:
    """
    Bring runs to one row per `key`, sorted by it, blanks last.

    Returns:
        The key, `edge_no` and `run_mm` as lists in the order of the edges, and for each of
        `RULES` the list of the values that the runs name.

    """
    return (
        runs.sort("edge_no")
        .group_by(key, maintain_order=True)
        .agg("edge_no", "run_mm", *(pl.col(name).unique().sort() for name in RULES))
        .sort(key, nulls_last=True)
    )


def read_problem(job: Mapping[str, Any]) -> tuple[tuple[Run, ...], LengthRules]:
    """
    Read the runs and the rules of a row of `gather_runs`.

    Raises:
        QuantityError: a run or a rule that is blank, can't be, or is named more than once.

    """
    rules = LengthRules(**{name: _single(job, name) for name in RULES})
    for edge_no, run_mm in zip(job["edge_no"], job["run_mm"], strict=True):
        if run_mm is None:
            raise QuantityError(f"edge {edge_no}: the length of its run is not recorded")
    return tuple(map(Run, job["edge_no"], job["run_mm"])), rules


@cache
def _plan_runs(runs: tuple[Run, ...], rules: LengthRules) -> tuple[CutPlan, CutPlan]:
    """Plan runs once: a roof is mostly fitted as it was quoted."""
    return plan_least(runs, rules), plan_without_reuse(runs, rules)


def _single(job: Mapping[str, Any], name: str) -> Any:  # noqa: ANN401 - a length or a word
    values = job[name]
    if len(values) > 1:
        shown = ", ".join("blank" if each is None else str(each) for each in values)
        raise QuantityError(f"{name}: the runs of one material name more than one: {shown}")
    if values[0] is None:
        raise QuantityError(f"{name} is not recorded for the material")
    return values[0]


def _figures(plan: str, cut: CutPlan) -> dict[str, Any]:
    return {
        "plan": plan,
        "lengths_count": cut.new_lengths_count,
        "joints_count": cut.joints_count,
        "net_quantity": _metres(cut.run_mm),
        "lap_quantity": _metres(cut.lap_mm),
        "kerf_quantity": _metres(cut.kerf_mm),
        "kept_quantity": _metres(cut.kept_mm),
        "binned_quantity": _metres(cut.binned_mm),
        "used_up_quantity": _metres(cut.used_up_mm),
        "bound_quantity": _metres(cut.used_up_mm + cut.bound_mm - cut.cost_mm),
        "is_proven": cut.is_proven,
        "how": None if cut.is_proven else NOT_PROVEN,
    }


def _metres(length_mm: int) -> Decimal:
    return Decimal(length_mm) / MM_IN_M


def _list_pieces(plan: CutPlan) -> list[dict[str, Any]]:
    return [
        {
            "length_no": length_no,
            "piece_no": piece_no,
            "length_mm": length.length_mm,
            "edge_no": piece.edge_no,
            "piece_mm": piece.piece_mm,
        }
        for length_no, length in enumerate(plan.lengths, start=1)
        for piece_no, piece in enumerate(length.pieces, start=1)
    ]
