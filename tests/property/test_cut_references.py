"""Plans with and without the rack against two linear models and against every way to cut."""

from dataclasses import asdict, replace
from random import Random

import pytest

from pipelines.cutting.plans import CutPlan, LengthRules, Offcut, Run
from pipelines.cutting.with_rack import plan_with_rack
from tests.support.cut_plans import find_faults
from tests.support.cut_references import (
    CutProblem,
    draw_problem,
    solve_by_constraints,
    solve_by_highs,
    try_every_cut,
)

RULES = ("forced_only", "priced")


def plan(problem: CutProblem) -> CutPlan:
    rules = LengthRules(
        stock_length_mm=problem.stock_mm,
        lap_mm=problem.lap_mm,
        kerf_mm=problem.kerf_mm,
        keep_from_mm=problem.keep_from_mm,
        least_piece_mm=problem.least_piece_mm,
        joint_rule="forced_only" if problem.is_forced_only else "priced",
        joint_price_mm=problem.joint_price_mm,
    )
    runs = [Run(number, length) for number, length in enumerate(problem.runs_mm, start=1)]
    racked = {f"piece {number}": length for number, length in enumerate(problem.offcuts_mm)}
    offcuts = [Offcut(label, length) for label, length in racked.items()]
    found = plan_with_rack(runs, rules, offcuts, float(problem.offcut_price))
    assert find_faults(asdict(found), racked) == []
    return found


def draw(rule: str, racked: int, seed: int) -> CutProblem:
    chance = Random(f"{rule} {racked} {seed}")  # noqa: S311 - seeded, not secret
    return draw_problem(chance, is_forced_only=rule == "forced_only", racked=racked)


@pytest.mark.parametrize("racked", [0, 1, 2, 3])
@pytest.mark.parametrize("rule", RULES)
def test_no_model_finds_a_cheaper_plan(rule, racked):
    for seed in range(25):
        problem = draw(rule, racked, seed)
        found = plan(problem)

        assert found.is_proven, problem
        assert found.cost_mm == solve_by_highs(problem) == solve_by_constraints(problem), problem


@pytest.mark.parametrize("racked", [0, 1, 2])
@pytest.mark.parametrize("rule", RULES)
def test_no_way_to_cut_is_cheaper(rule, racked):
    for seed in range(4):
        problem = draw(rule, racked, seed)

        assert plan(problem).cost_mm == try_every_cut(problem), problem


@pytest.mark.parametrize("racked", [0, 1, 2])
@pytest.mark.parametrize("rule", RULES)
@pytest.mark.slow
def test_no_way_to_cut_any_of_many_jobs_is_cheaper(rule, racked):
    for seed in range(20 if racked == 2 else 45):
        problem = draw(rule, racked, seed)
        cost = plan(problem).cost_mm

        assert cost == try_every_cut(problem) == solve_by_highs(problem), problem
        assert cost == solve_by_constraints(problem), problem


@pytest.mark.parametrize("price_mm", [0, 1])
@pytest.mark.parametrize("racked", [0, 1, 2])
def test_cheap_joins_open_nothing_that_could_be_done_without(racked, price_mm):
    for seed in range(4):
        problem = replace(draw("priced", racked, seed), joint_price_mm=price_mm)

        assert plan(problem).cost_mm == try_every_cut(problem), problem


@pytest.mark.parametrize("rule", RULES)
def test_a_least_piece_stays_between_bound_and_plan(rule):
    reached = 0
    for seed in range(60):
        problem = replace(draw(rule, seed % 3, seed), least_piece_mm=3)
        found, least = plan(problem), solve_by_highs(problem)

        assert found.bound_mm <= least <= found.cost_mm, problem
        reached += found.cost_mm == least
    assert reached >= 0.9 * 60
