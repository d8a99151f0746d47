"""What may not change when vans are called otherwise, or their jobs come in another order."""

import numpy as np
import polars as pl
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from pipelines.calibration.crews import compare_vans
from tests.worked.test_vans_by_hand import FIRST, SECOND, jobs

THIRD = "third van"
FIGURES = ("shrunken_ratio", "shrunken_low_ratio", "shrunken_high_ratio")


def lay_out(seed, counts):
    chance = np.random.default_rng(seed)
    names = (FIRST, SECOND, THIRD)
    vans = [(name, chance.normal(0.1, 0.05, n)) for name, n in zip(names, counts, strict=True)]
    return jobs(*vans, job_types=("garage", "dormer"))


def by_van(found):
    return {row["crew"]: [row[name] for name in FIGURES] for row in found.iter_rows(named=True)}


DRAWN = given(
    st.integers(0, 10_000), st.tuples(st.integers(8, 30), st.integers(8, 30), st.integers(0, 12))
)


@settings(max_examples=15)
@DRAWN
def test_vans_that_swap_names_swap_figures(seed, counts):
    lines, vans = lay_out(seed, counts)
    swapped = vans.with_columns(pl.col("crew").replace({FIRST: SECOND, SECOND: FIRST}))
    found, other = by_van(compare_vans(lines, vans)), by_van(compare_vans(lines, swapped))

    assert other[SECOND] == pytest.approx(found[FIRST], abs=1e-9)
    assert other[FIRST] == pytest.approx(found[SECOND], abs=1e-9)
    assert other.get(THIRD) == pytest.approx(found.get(THIRD), abs=1e-9)


@settings(max_examples=15)
@DRAWN
def test_the_order_of_lines_says_nothing(seed, counts):
    lines, vans = lay_out(seed, counts)
    mixed = lines.sample(fraction=1.0, shuffle=True, seed=seed)

    assert compare_vans(mixed, vans.reverse()).equals(compare_vans(lines, vans))


@settings(max_examples=15)
@DRAWN
def test_an_interval_holds_its_middle_and_a_van_without_jobs_enough_is_absent(seed, counts):
    found = compare_vans(*lay_out(seed, counts))
    low, middle, high = (found[name] for name in ("shrunken_low_ratio", *FIGURES[:1], FIGURES[2]))

    assert ((low < middle) & (middle < high)).all()
    assert (THIRD in found["crew"].to_list()) == (counts[2] >= 8)
