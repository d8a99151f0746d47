"""The plan of a crew that cuts every edge from new lengths of its own and keeps no leftover."""

from collections.abc import Sequence
from dataclasses import replace

from pipelines.cutting.plans import CutLength, CutPlan, LengthRules, Piece, Run, refuse_run
from pipelines.cutting.remainders import take_whole_lengths


def plan_without_reuse(runs: Sequence[Run], rules: LengthRules) -> CutPlan:
    """
    Cut each run from lengths of its own: (run - lap) / (length - lap) of them, rounded up.

    Returns:
        A plan that uses up every length that it opens: the rules that it carries keep nothing.
        Its bound is what it uses up, as there is no other such plan.

    Raises:
        QuantityError: a run that can't be cut; the message names its edge.

    """
    binning = replace(rules, keep_from_mm=rules.stock_length_mm + 1)
    ordered = tuple(sorted(runs, key=lambda run: run.edge_no))
    lengths = tuple(length for run in ordered for length in _cut_alone(run, binning))
    plan = CutPlan(binning, ordered, lengths, 0)
    return replace(plan, bound_mm=plan.cost_mm)


def _cut_alone(run: Run, rules: LengthRules) -> list[CutLength]:
    refuse_run(run, rules.lap_mm)
    remainder = take_whole_lengths(run, rules)
    stock = rules.stock_length_mm
    pieces = [stock] * remainder.whole_count + [remainder.rest_mm]
    if remainder.whole_count:
        short_mm = max(0, rules.least_piece_mm - remainder.rest_mm)
        pieces[0], pieces[-1] = pieces[0] - short_mm, pieces[-1] + short_mm
    return [CutLength(stock, (Piece(run.edge_no, piece),)) for piece in pieces]
