"""Geometry: lengths cut to runs with nothing left over; the least is as many as were cut."""

from dataclasses import asdict
from random import Random

import pytest

from pipelines.cutting.least_lengths import plan_least
from pipelines.cutting.plans import CutPlan, LengthRules, Run
from tests.support.cut_plans import find_faults

STOCK_MM, KERF_MM = 3000, 3


def plan(runs_mm: list[int], rules: LengthRules) -> CutPlan:
    found = plan_least([Run(no, mm) for no, mm in enumerate(runs_mm, start=1)], rules)
    assert find_faults(asdict(found)) == []
    return found


def cut_up(chance: Random, pieces: int) -> list[int]:
    """Cut a length at random into so many pieces of 100 mm and more; the saw takes its share."""
    spare = STOCK_MM - (pieces - 1) * KERF_MM - pieces * 100
    at = sorted(chance.sample(range(spare + 1), pieces - 1))
    return [100 + end - start for start, end in zip([0, *at], [*at, spare], strict=True)]


@pytest.mark.parametrize("lengths", [2, 3, 4, 10, 20])
@pytest.mark.parametrize("joint_rule", ["forced_only", "priced"])
def test_lengths_cut_up_with_no_rest_are_found_again(lengths, joint_rule):
    chance = Random(lengths)  # noqa: S311 - chance is seeded, not secret
    runs = [piece for _ in range(lengths) for piece in cut_up(chance, chance.randint(2, 4))]
    chance.shuffle(runs)
    rules = LengthRules(
        STOCK_MM, lap_mm=50, kerf_mm=KERF_MM, keep_from_mm=600, joint_rule=joint_rule
    )

    found = plan(runs, rules)

    assert found.is_proven
    assert (found.new_lengths_count, found.kept_mm, found.binned_mm) == (lengths, 0, 0)


@pytest.mark.parametrize("triplets", [4, 10, 20])
def test_triplets_that_just_fill_a_length_are_found_again(triplets):
    chance = Random(triplets)  # noqa: S311 - chance is seeded, not secret
    runs = []
    for _ in range(triplets):
        first, second = chance.randint(760, 1200), chance.randint(760, 980)
        runs += [first, second, STOCK_MM - first - second]
    chance.shuffle(runs)
    rules = LengthRules(STOCK_MM, lap_mm=0, kerf_mm=0, keep_from_mm=STOCK_MM + 1)

    found = plan(runs, rules)

    assert found.bound_mm == triplets * STOCK_MM
    assert found.new_lengths_count == triplets
