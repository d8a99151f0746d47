"""
Other ways to the least material of a cutting problem: every cut tried, and two linear models.

Nothing here knows how the program finds its plans. Lengths are whole mm.
"""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from itertools import combinations
from math import ceil
from random import Random
from typing import Any

import highspy
from ortools.sat.python import cp_model

MOST_PIECES = 4


@dataclass(frozen=True)
class CutProblem:
    """
    Runs, new lengths and rack pieces, and how they may be cut.

    A mm of a rack piece counts `offcut_price` of one of a new length.
    """

    runs_mm: tuple[int, ...]
    offcuts_mm: tuple[int, ...]
    stock_mm: int
    lap_mm: int
    kerf_mm: int
    keep_from_mm: int
    least_piece_mm: int
    is_forced_only: bool
    joint_price_mm: int
    offcut_price: Fraction

    def fewest_pieces(self, run: int) -> int:
        """Count the pieces of a run that are cut from whole new lengths."""
        return ceil(Fraction(self.runs_mm[run] - self.lap_mm, self.stock_mm - self.lap_mm))

    @property
    def lengths_mm(self) -> tuple[int, ...]:
        """Give the rack pieces, then as many new lengths as runs that share nothing open."""
        new = sum(self.fewest_pieces(run) for run in range(len(self.runs_mm)))
        return self.offcuts_mm + (self.stock_mm,) * new

    def weight(self, at: int) -> Fraction:
        """Give what a mm of a length counts."""
        return self.offcut_price if at < len(self.offcuts_mm) else Fraction(1)


def draw_problem(chance: Random, *, is_forced_only: bool, racked: int) -> CutProblem:
    """
    Draw a problem small enough for every cut to be tried: lengths of 6 to 9 mm, 1 to 3 runs.

    A priced join costs what no leftover that is kept for it can bring back, so that no length
    is worth opening which the runs could do without.
    """
    stock, lap, kerf = chance.randint(6, 9), chance.randint(0, 1), chance.randint(0, 1)
    runs: list[int] = []
    pieces = 0
    for _ in range(chance.randint(1, 3)):
        run = chance.randint(lap + 1, 2 * stock - 2)
        pieces += ceil(Fraction(run - lap, stock - lap))
        runs += [run] if pieces <= MOST_PIECES else []
    keep_from, price = chance.choice([2, 3, 99]), chance.choice([Fraction(1, 2), Fraction(1)])
    worth = min(keep_from, stock) + (int((1 - price) * stock) if racked else 0)
    return CutProblem(
        runs_mm=tuple(runs) or (stock,),
        offcuts_mm=tuple(chance.randint(1, stock) for _ in range(racked)),
        stock_mm=stock,
        lap_mm=lap,
        kerf_mm=kerf,
        keep_from_mm=keep_from,
        least_piece_mm=0,
        is_forced_only=is_forced_only,
        joint_price_mm=0 if is_forced_only else worth,
        offcut_price=price,
    )


Rests = tuple[tuple[int, int], ...]
"""By length what is left of it, and as bits the runs that were cut from it."""


def try_every_cut(problem: CutProblem) -> int:
    """
    Find the least cost over every way to cut all runs in whole mm, rounded up.

    Where joins are priced, ways count only whose lengths, rack pieces too, could none of them be
    done without by the runs that are joined to it.
    """
    lengths = problem.lengths_mm
    states = {tuple((length, 0) for length in lengths)}
    for run in range(len(problem.runs_mm)):
        states = {
            _in_order(after, len(problem.offcuts_mm))
            for state in states
            for after in _take(problem, run, state)
        }
    costed = sorted((_cost(problem, state), state) for state in states)
    return ceil(next(cost for cost, state in costed if _needs_all(problem, state)))


def _take(problem: CutProblem, run: int, state: Rests) -> Iterator[Rests]:
    fewest = problem.fewest_pieces(run)
    most = fewest if problem.is_forced_only else len(state)
    for count in range(1 if not problem.is_forced_only else fewest, most + 1):
        whole = problem.runs_mm[run] + problem.lap_mm * (count - 1)
        least = max(1, problem.least_piece_mm, problem.lap_mm + 1) if count > 1 else whole
        for chosen in combinations(range(len(state)), count):
            for pieces in _split(whole, [state[at][0] for at in chosen], least):
                after = list(state)
                for at, piece in zip(chosen, pieces, strict=True):
                    rest, runs = state[at]
                    after[at] = (max(0, rest - piece - problem.kerf_mm), runs | 1 << run)
                yield tuple(after)


def _split(whole: int, rooms: Sequence[int], least: int) -> Iterator[tuple[int, ...]]:
    if len(rooms) == 1:
        if least <= whole <= rooms[0]:
            yield (whole,)
        return
    for piece in range(least, min(rooms[0], whole - least) + 1):
        for others in _split(whole - piece, rooms[1:], least):
            yield (piece, *others)


def _in_order(state: Rests, racked: int) -> Rests:
    return state[:racked] + tuple(sorted(state[racked:]))


def _cost(problem: CutProblem, state: Rests) -> Fraction:
    cost = Fraction(-len(problem.runs_mm) * problem.joint_price_mm)
    for at, (rest, runs) in enumerate(state):
        if runs:
            kept = rest if rest >= problem.keep_from_mm else 0
            cost += problem.weight(at) * (problem.lengths_mm[at] - kept)
            cost += runs.bit_count() * problem.joint_price_mm
    return cost


def _needs_all(problem: CutProblem, state: Rests) -> bool:
    if problem.is_forced_only:
        return True
    for joined, members in _components(state):
        lengths = sorted(problem.lengths_mm[at] for at in members)
        runs = tuple(run for i, run in enumerate(problem.runs_mm) if joined >> i & 1)
        without = (lengths[:at] + lengths[at + 1 :] for at in range(len(lengths)))
        if any(_can_cut(problem, runs, tuple(fewer)) for fewer in without):
            return False
    return True


def _components(state: Rests) -> list[tuple[int, list[int]]]:
    found: list[tuple[int, list[int]]] = []
    for at, (_, runs) in enumerate(state):
        if runs:
            mine = [each for each in found if each[0] & runs]
            found = [each for each in found if not each[0] & runs]
            joined = runs
            for each in mine:
                joined |= each[0]
            found.append((joined, [at, *(other for each in mine for other in each[1])]))
    return found


@cache
def _can_cut(problem: CutProblem, runs_mm: tuple[int, ...], lengths_mm: tuple[int, ...]) -> bool:
    states = {tuple((length, 0) for length in lengths_mm)}
    for run, whole in enumerate(problem.runs_mm):
        if whole in runs_mm:
            times = runs_mm.count(whole) if problem.runs_mm.index(whole) == run else 0
            for _ in range(times):
                states = {
                    tuple(sorted((rest, 0) for rest, _ in after))
                    for state in states
                    for after in _take(problem, run, state)
                }
    return bool(states)


def solve_by_highs(problem: CutProblem) -> int:
    """Find the least cost by the model of lengths x runs in HiGHS, rounded up."""
    solver = highspy.Highs()
    for option, value in (("output_flag", False), ("threads", 1), ("mip_rel_gap", 0.0)):
        solver.setOptionValue(option, value)
    model = _Model(
        problem,
        yes_no=solver.addBinary,
        figure=lambda most: solver.addVariable(0, most),
        bind=solver.addConstr,
    )
    solver.minimize(model.cost_in_units())
    return ceil(Fraction(round(solver.getObjectiveValue()), problem.offcut_price.denominator))


def solve_by_constraints(problem: CutProblem) -> int:
    """Find the least cost by the same model in the constraint solver CP-SAT, rounded up."""
    cp = cp_model.CpModel()
    model = _Model(
        problem,
        yes_no=lambda: cp.new_bool_var(""),
        figure=lambda most: cp.new_int_var(0, most, ""),
        bind=cp.add,
    )
    cp.minimize(model.cost_in_units())
    solver = cp_model.CpSolver()
    solver.parameters.num_workers = 1
    if solver.solve(cp) != cp_model.OPTIMAL:
        raise AssertionError(problem)
    return ceil(Fraction(round(solver.objective_value), problem.offcut_price.denominator))


class _Model:
    """The rules as linear rows, whatever the solver."""

    def __init__(self, problem: CutProblem, yes_no: Any, figure: Any, bind: Any) -> None:
        self.problem = problem
        runs, lengths = problem.runs_mm, problem.lengths_mm
        self.is_cut = [[yes_no() for _ in runs] for _ in lengths]
        self.piece = [[figure(run) for run in runs] for _ in lengths]
        self.opened, self.keeps = ([yes_no() for _ in lengths] for _ in range(2))
        self.kept = [figure(length) for length in lengths]
        for at in range(len(lengths)):
            self._bind_length(at, bind)
        for run in range(len(runs)):
            self._bind_run(run, bind)

    def _bind_length(self, at: int, bind: Any) -> None:
        problem, length = self.problem, self.problem.lengths_mm[at]
        opened, keeps, kept = self.opened[at], self.keeps[at], self.kept[at]
        taken = sum(self.piece[at]) + problem.kerf_mm * sum(self.is_cut[at])
        bind(taken <= (length + problem.kerf_mm) * opened)
        bind(taken + kept + problem.kerf_mm * keeps <= length * opened + problem.kerf_mm)
        bind(kept <= length * keeps)
        bind(kept >= min(problem.keep_from_mm, length + 1) * keeps)
        bind(keeps <= opened)
        for run, whole in enumerate(problem.runs_mm):
            least = min(max(problem.least_piece_mm, 0), whole)
            bind(self.piece[at][run] >= least * self.is_cut[at][run])
            bind(self.piece[at][run] <= min(length, whole) * self.is_cut[at][run])
            bind(self.is_cut[at][run] <= opened)

    def _bind_run(self, run: int, bind: Any) -> None:
        problem = self.problem
        pieces = sum(row[run] for row in self.piece)
        cuts = sum(row[run] for row in self.is_cut)
        bind(pieces == problem.runs_mm[run] - problem.lap_mm + problem.lap_mm * cuts)
        bind(cuts >= 1)
        if problem.is_forced_only:
            bind(cuts == problem.fewest_pieces(run))

    def cost_in_units(self) -> Any:
        """Give the cost in the units in which the price of a rack piece is whole."""
        problem = self.problem
        unit = problem.offcut_price.denominator
        lengths = sum(
            int(problem.weight(at) * unit) * (length * self.opened[at] - self.kept[at])
            for at, length in enumerate(problem.lengths_mm)
        )
        joins = sum(sum(row) for row in self.is_cut) - len(problem.runs_mm)
        return lengths + unit * problem.joint_price_mm * joins
