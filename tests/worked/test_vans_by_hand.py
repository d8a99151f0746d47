"""Arithmetic, and invented jobs: two vans on roofs of one kind and size."""

from datetime import date
from math import exp, log, sqrt

import numpy as np
import polars as pl
import pytest

from pipelines.calibration.crews import compare_vans
from pipelines.calibration.pooling import PRIOR, SPREAD_RATIOS

DAY = date(2026, 5, 4)
NINE_TENTHS = 1.2815515655446004
"""The scatters that nine in ten of a normal law stay below, from memory."""

SWINGS = (-0.04, -0.03, -0.02, -0.01, 0.01, 0.02, 0.03, 0.04)
FIRST, SECOND = "first van", "second van"


def jobs(*vans, day=DAY, job_types=("garage",)):
    """Lay out one job of each van in turn; a van is its name and its ratios over a base of 20."""
    rows = [
        {
            "material": "resin",
            "kind": "resin",
            "base_unit": "kg",
            "job_ref": f"2026-{100 * place + at:03}",
            "job_type": job_types[at % len(job_types)],
            "completed_on": day,
            "base_quantity": 20.0,
            "used_quantity": 20.0 * (1 + ratio),
            "crew": name,
        }
        for place, (name, ratios) in enumerate(vans)
        for at, ratio in enumerate(ratios)
    ]
    frame = pl.DataFrame(rows)
    return frame.drop("crew"), frame.select("job_ref", "crew")


def around(middle, swings=SWINGS):
    return [middle + swing for swing in swings]


def weigh_by_hand(first, second):
    """
    Give what is believed of the first van's distance from the mean of both, and its error.

    For a spread of l scatters between vans, n jobs each: a van is drawn to the mean by
    n / (n + 1 / l^2); half the distance between two vans varies by s^2 / 2 / (n + 1 / l^2).
    """
    count = len(first)
    total = 2 * count
    half = (np.mean(first) - np.mean(second)) / 2
    within = sum(float(((each - np.mean(each)) ** 2).sum()) for each in (first, second))
    believed = []
    for ratio, prior in zip(SPREAD_RATIOS, PRIOR, strict=True):
        grown = 1 + count * ratio**2
        squared = (within + total * half**2 / grown) / (total - 1)
        likely = exp(-0.5 * ((total - 1) * log(squared) + log(grown)))
        trust = count / (count + ratio**-2)
        believed.append((likely * prior, trust * half, squared / 2 / (count + ratio**-2)))
    weight, far, varies = np.array(believed).T
    weight /= weight.sum()
    mean = float(weight @ far)
    return mean, sqrt(float(weight @ (varies + far**2)) - mean**2)


def test_two_vans_by_hand():
    first, second = np.array(around(0.16)), np.array(around(0.10))
    lines, vans = jobs((FIRST, first), (SECOND, second))
    # a job of sixteen holds a sixteenth of the mean that it is held against
    mean = np.mean([first, second])
    misses = [(each - mean) * 16 / 15 for each in (first, second)]
    far, error = weigh_by_hand(*misses)

    found = compare_vans(lines, vans)

    assert found["crew"].to_list() == [FIRST, SECOND]
    assert found["job_count"].to_list() == [8, 8]
    assert found["shrunken_ratio"].to_list() == pytest.approx([far, -far], rel=1e-9)
    assert found["shrunken_low_ratio"][0] == pytest.approx(far - NINE_TENTHS * error, rel=1e-9)
    assert found["shrunken_high_ratio"][1] == pytest.approx(-far + NINE_TENTHS * error, rel=1e-9)
    assert 0.02 < far < 0.032


def test_vans_that_only_scatter_overlap():
    lines, vans = jobs((FIRST, around(0.13)), (SECOND, around(0.128)))
    found = compare_vans(lines, vans)

    assert found["shrunken_low_ratio"].max() < found["shrunken_high_ratio"].min()
    assert abs(found["shrunken_ratio"][0]) < 0.001


def test_one_wild_job_does_not_set_a_van_apart():
    swings = (*SWINGS, *SWINGS)
    wild = [*around(0.13, swings)[:-1], 3.0]
    lines, vans = jobs((FIRST, wild), (SECOND, around(0.13, swings)))
    found = compare_vans(lines, vans)

    assert found["shrunken_low_ratio"].max() < found["shrunken_high_ratio"].min()


@pytest.mark.parametrize("kept", [7, 8])
def test_a_van_of_fewer_than_eight_jobs_is_not_spoken_of(kept):
    lines, vans = jobs((FIRST, around(0.16)), (SECOND, around(0.10)[:kept]))

    assert compare_vans(lines, vans).is_empty() == (kept < 8)


def test_jobs_of_long_ago_count_less_than_one():
    old, vans = jobs((FIRST, around(0.16)), (SECOND, around(0.10)), day=date(2024, 5, 4))

    assert compare_vans(old, vans, as_of=DAY).is_empty()
    assert compare_vans(old, vans, as_of=date(2024, 5, 31)).height == 2


def test_what_goes_with_the_kind_of_roof_is_not_put_down_to_a_van():
    swings = (*SWINGS, *SWINGS)
    first, vans_of_first = jobs((FIRST, around(0.30, swings)), job_types=("dormer",))
    second, vans_of_second = jobs(("", ()), (SECOND, around(0.05, swings)), job_types=("garage",))
    found = compare_vans(pl.concat([first, second]), pl.concat([vans_of_first, vans_of_second]))

    assert found["shrunken_ratio"].abs().max() < 0.02


def share_apart(more):
    """Give the share of 60 invented years in which two vans, the first taking more, lie apart."""
    apart = 0
    for seed in range(60):
        chance = np.random.default_rng(seed)
        first, second = chance.normal(0.12 + more, 0.06, 30), chance.normal(0.12, 0.06, 30)
        found = compare_vans(*jobs((FIRST, first), (SECOND, second), job_types=("bay", "porch")))
        low, high = found["shrunken_low_ratio"], found["shrunken_high_ratio"]
        apart += low.max() > high.min()
    return apart / 60


def test_vans_that_are_alike_seldom_lie_apart_and_those_that_are_not_mostly_do():
    assert share_apart(0.0) <= 0.15
    assert share_apart(0.05) >= 0.7


def test_without_vans_to_compare_nothing_is_said():
    lines, vans = jobs((FIRST, around(0.16)), (SECOND, around(0.10)))

    assert compare_vans(lines, vans.clear()).is_empty()
