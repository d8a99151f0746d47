"""The lengths and runs of a small job as one linear model, where a least piece bars the way."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise
from math import ceil

import numpy as np

from pipelines.cutting.linear_models import LinearModel, Solved
from pipelines.cutting.plans import CutLength, LengthRules, Piece, Run, joints_cost_mm
from pipelines.cutting.remainders import cost_groups, take_whole_lengths

MOST_CELLS = 36
"""Lengths x runs that are still few enough."""

MOST_NODES = 400

_TOLERANCE_MM = 0.01


@dataclass(frozen=True)
class Better:
    """A cheaper plan's lengths, if one was found, and the raised bound in mm."""

    lengths: tuple[CutLength, ...] | None
    bound_mm: int


@dataclass(frozen=True)
class _Length:
    """Variables of one length: is it opened, is its rest kept, the rest, the pieces of runs."""

    opened: int
    keeps: int
    kept: int
    is_cut: Mapping[int, int]
    piece: Mapping[int, int]


def improve_plan(runs: Sequence[Run], rules: LengthRules, cost_mm: int, bound_mm: int) -> Better:
    """
    Look for a plan that costs less than the one at hand, or prove that there is none.

    No plan that costs less has more joins than what it may cost above the bare runs pays for, so
    the lengths of the model are enough. The search ends after `MOST_NODES`.

    Args:
        runs: all runs of the trim.
        rules: how they may be cut.
        cost_mm: what the plan at hand costs.
        bound_mm: what no plan costs less than.

    Returns:
        Nothing found and the bound as it was, where the job is above `MOST_CELLS`. A plan that
        opens a length only for the sake of its rest is none; it may hold the bound down.

    """
    lengths_count = _most_lengths(runs, rules, cost_mm)
    if lengths_count * len(runs) > MOST_CELLS:
        return Better(None, bound_mm)
    model = LinearModel()
    lengths = [_add_length(model, runs, rules) for _ in range(lengths_count)]
    _bind_runs(model, lengths, runs, rules)
    fixed_mm = joints_cost_mm(rules, 1) * len(runs)
    model.bind(
        {number: cost for number, cost in enumerate(model.costs()) if cost},
        bound_mm + fixed_mm,
        cost_mm - 1 + fixed_mm,
    )
    solved = model.solve(MOST_NODES)
    proven_mm = min(cost_mm, max(solved.bound - fixed_mm, bound_mm))
    found = _read_lengths(solved, lengths, runs, rules)
    if found is not None and _could_do_without(found, runs, rules):
        found = None
    return Better(found, ceil(proven_mm - _TOLERANCE_MM))


def _most_lengths(runs: Sequence[Run], rules: LengthRules, cost_mm: int) -> int:
    over_mm = cost_mm - 1 - sum(run.run_mm for run in runs)
    a_join_mm = rules.lap_mm + joints_cost_mm(rules, 1)
    paid_for = over_mm // a_join_mm if a_join_mm else MOST_CELLS
    if rules.joint_rule == "forced_only":
        paid_for = min(paid_for, _forced(runs, rules))
    return len(runs) + paid_for


def _forced(runs: Sequence[Run], rules: LengthRules) -> int:
    return sum(take_whole_lengths(run, rules).whole_count for run in runs)


def _add_length(model: LinearModel, runs: Sequence[Run], rules: LengthRules) -> _Length:
    stock, kerf = rules.stock_length_mm, rules.kerf_mm
    a_join_mm = joints_cost_mm(rules, 1)
    is_cut = {i: model.add(a_join_mm, upper=1, whole=True) for i in range(len(runs))}
    piece = {i: model.add(0) for i in range(len(runs))}
    opened, keeps = model.add(stock, upper=1, whole=True), model.add(0, upper=1, whole=True)
    kept = model.add(-1)
    length = _Length(opened, keeps, kept, is_cut, piece)
    taken = dict.fromkeys(piece.values(), 1.0) | dict.fromkeys(is_cut.values(), float(kerf))
    model.bind({**taken, opened: -(stock + kerf)}, upper=0)
    model.bind({**taken, kept: 1, keeps: kerf, opened: -stock}, upper=kerf)
    model.bind({kept: 1, keeps: -stock}, upper=0)
    model.bind({kept: 1, keeps: -min(rules.keep_from_mm, stock + 1)}, lower=0)
    model.bind({keeps: 1, opened: -1}, upper=0)
    for i, run in enumerate(runs):
        longest, least = min(stock, run.run_mm), min(rules.least_piece_mm, run.run_mm)
        model.bind({piece[i]: 1, is_cut[i]: -longest}, upper=0)
        model.bind({piece[i]: 1, is_cut[i]: -least}, lower=0)
        model.bind({is_cut[i]: 1, opened: -1}, upper=0)
    return length


def _bind_runs(
    model: LinearModel, lengths: Sequence[_Length], runs: Sequence[Run], rules: LengthRules
) -> None:
    for i, run in enumerate(runs):
        pieces = {length.piece[i]: 1.0 for length in lengths}
        cuts = {length.is_cut[i]: 1.0 for length in lengths}
        laps = dict.fromkeys(cuts, -float(rules.lap_mm))
        model.bind({**pieces, **laps}, run.run_mm - rules.lap_mm, run.run_mm - rules.lap_mm)
        fewest = take_whole_lengths(run, rules).whole_count + 1
        model.bind(cuts, fewest, fewest if rules.joint_rule == "forced_only" else len(lengths))
    for one, other in pairwise(lengths):
        model.bind({one.opened: 1, other.opened: -1}, lower=0)


def _read_lengths(
    solved: Solved, lengths: Sequence[_Length], runs: Sequence[Run], rules: LengthRules
) -> tuple[CutLength, ...] | None:
    if solved.values is None:
        return None
    values = [round(value) for value in solved.values]
    read = [
        CutLength(
            rules.stock_length_mm,
            tuple(
                Piece(run.edge_no, values[length.piece[i]])
                for i, run in enumerate(runs)
                if values[length.is_cut[i]]
            ),
        )
        for length in lengths
        if values[length.opened]
    ]
    return tuple(length for length in read if length.pieces)


def _could_do_without(
    lengths: Sequence[CutLength], runs: Sequence[Run], rules: LengthRules
) -> bool:
    """Tell whether runs that are joined to one another open more lengths than they take."""
    remainders = {run.edge_no: take_whole_lengths(run, rules) for run in runs}
    joined: list[tuple[set[int], int]] = []
    for length in lengths:
        edges, opened = {piece.edge_no for piece in length.pieces}, 1
        for others, count in [each for each in joined if each[0] & edges]:
            joined.remove((others, count))
            edges, opened = edges | others, opened + count
        joined.append((edges, opened))
    takes = [sum(remainders[no].rest_mm + rules.kerf_mm for no in edges) for edges, _ in joined]
    wholes = [sum(remainders[no].whole_count for no in edges) for edges, _ in joined]
    fewest = cost_groups(np.array(takes, dtype=np.int64), rules).lengths_count + wholes
    return any(opened > few for (_, opened), few in zip(joined, fewest, strict=True))
