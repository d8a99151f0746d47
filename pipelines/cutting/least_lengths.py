"""The least material that one job's runs of one trim can be cut from, new lengths only."""

from collections import Counter
from collections.abc import Sequence

from pipelines.cutting.few_runs import plan_few
from pipelines.cutting.groups import MOST_RUNS
from pipelines.cutting.many_runs import plan_many
from pipelines.cutting.plans import CutPlan, LengthRules, Run, joints_cost_mm, refuse_run
from pipelines.cutting.remainders import take_whole_lengths
from pipelines.cutting.small_mip import improve_plan
from pipelines.errors import QuantityError


def plan_least(runs: Sequence[Run], rules: LengthRules) -> CutPlan:
    """
    Find the plan that uses up the least material, and a bound that no plan goes below.

    Material is what is opened less leftovers long enough to keep, and the price of joins where
    they are priced. No plan opens a length that the runs joined to it could do without: a join is
    not made for the sake of a longer rest. Among equals stands the plan of fewest joins, then
    fewest lengths, then the longest single leftover, then the lowest edge numbers: among all plans
    where there is no least piece and no more than `MOST_RUNS` runs, else among those looked at.
    The order of the runs changes nothing.

    Args:
        runs: finished lengths, corner covers taken off. None at all gives a plan of nothing.
        rules: how the trim may be cut and joined.

    Returns:
        A plan, proven where its cost is its bound: always with no least piece and up to
        `MOST_RUNS` runs.

    Raises:
        QuantityError: a run that can't be cut, or two runs of one edge; the message names it.

    """
    ordered = sorted(runs, key=lambda run: (-run.run_mm, run.edge_no))
    _refuse_runs(ordered, rules)
    remainders = [take_whole_lengths(run, rules) for run in ordered]
    whole = sum(each.whole_count for each in remainders)
    plan_parts = plan_few if len(remainders) <= MOST_RUNS else plan_many
    bound, laid = plan_parts(remainders, rules) if remainders else (0, [])
    lengths = tuple(length for group in laid for length in group.lengths)
    whole_mm = whole * rules.stock_length_mm + joints_cost_mm(rules, whole)
    plan = CutPlan(
        rules, tuple(sorted(runs, key=lambda run: run.edge_no)), lengths, bound + whole_mm
    )
    return plan if plan.is_proven else _improve(plan, ordered)


def _refuse_runs(runs: Sequence[Run], rules: LengthRules) -> None:
    times = Counter(run.edge_no for run in runs)
    for run in runs:
        refuse_run(run, rules.lap_mm)
        if times[run.edge_no] > 1:
            raise QuantityError(f"edge {run.edge_no}: {times[run.edge_no]} runs are of one edge")


def _improve(plan: CutPlan, ordered: Sequence[Run]) -> CutPlan:
    better = improve_plan(ordered, plan.rules, plan.cost_mm, plan.bound_mm)
    return CutPlan(plan.rules, plan.runs, better.lengths or plan.lengths, better.bound_mm)
