"""Planning speed: jobs a second, and beside a linear model of lengths x runs."""

import sys
import time
from collections.abc import Callable
from fractions import Fraction
from functools import partial
from random import Random
from statistics import median, quantiles

import pytest

from pipelines.cutting.least_lengths import plan_least
from pipelines.cutting.plans import LengthRules, Run
from tests.support.cut_jobs import draw_job
from tests.support.cut_references import CutProblem, solve_by_highs

RULES = ("forced_only", "priced")


JOIN_MM = 600
"""As much as a rest is kept from: then no length pays that is opened for the sake of its rest."""


def _time(work: Callable[[], int]) -> tuple[float, int]:
    start = time.process_time()
    result = work()
    return 1000 * (time.process_time() - start), result


def _plan(runs_mm: list[int], joint_rule: str) -> int:
    rules = LengthRules(3000, 50, 3, 600, 0, joint_rule, joint_price_mm=JOIN_MM)
    return plan_least([Run(no, mm) for no, mm in enumerate(runs_mm, start=1)], rules).cost_mm


@pytest.mark.bench
@pytest.mark.parametrize("joint_rule", RULES)
def test_jobs_planned_in_a_second(joint_rule):
    chance = Random(7)  # noqa: S311 - chance is seeded, not secret
    jobs = [draw_job(chance, 2, 12) for _ in range(1000)]
    _plan(jobs[0], joint_rule)

    taken = [_time(partial(_plan, job, joint_rule))[0] for job in jobs]

    usual, late = median(taken), quantiles(taken, n=20)[-1]
    sys.stdout.write(
        f"\n{joint_rule}, 1,000 jobs of 2-12 runs, CPU: median {usual:.2f} ms, 95 in 100 within "
        f"{late:.2f} ms, {1000 * len(jobs) / sum(taken):,.0f} jobs a second\n"
    )
    assert 1000 / usual >= 1000


@pytest.mark.bench
@pytest.mark.parametrize("joint_rule", RULES)
def test_planning_beside_the_linear_model_of_the_same_jobs(joint_rule):
    chance = Random(8)  # noqa: S311 - chance is seeded, not secret
    jobs = [draw_job(chance, 2, 3) for _ in range(12)]
    problems = [
        CutProblem(
            tuple(job), (), 3000, 50, 3, 600, 0, joint_rule == "forced_only",
            JOIN_MM if joint_rule == "priced" else 0, Fraction(1, 2),
        )
        for job in jobs
    ]  # fmt: skip

    ours = [_time(partial(_plan, job, joint_rule)) for job in jobs]
    model = [_time(partial(solve_by_highs, each)) for each in problems]

    assert [cost for _, cost in ours] == [cost for _, cost in model]
    ratio = median(ms for ms, _ in model) / median(ms for ms, _ in ours)
    sys.stdout.write(
        f"\n{joint_rule}, 12 jobs of 2-3 runs: linear model / planning, CPU medians: {ratio:,.0f}\n"
    )
    assert ratio > 1
