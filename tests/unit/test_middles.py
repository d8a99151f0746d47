"""Medians and ranks of many figures beside those of all figures put in order."""

import numpy as np
import pytest

from pipelines.calibration.middles import MANY, find_median, find_reached

CASES = {
    "even count": np.random.default_rng(1).normal(size=MANY + 10_000),
    "odd count": np.random.default_rng(2).normal(size=MANY + 10_001),
    "few": np.random.default_rng(3).normal(size=99),
    "rising": np.arange(MANY + 5_000.0),
    "all alike": np.full(MANY + 7, 0.3),
    "two figures": np.repeat([0.0, 1.0], MANY),
    # every so-manieth lies high, so that the bracket misses
    "misleading": np.where(np.arange(12 * MANY) % (12 * MANY // 4_096) == 0, 9.0, 0.5)
    + np.random.default_rng(4).normal(size=12 * MANY),
}


@pytest.mark.parametrize("name", CASES)
def test_the_median_is_exact_to_the_last_digit(name):
    assert find_median(CASES[name]) == np.median(CASES[name])


@pytest.mark.parametrize("share", [0.05, 0.1, 0.5, 0.85, 0.98])
@pytest.mark.parametrize("name", CASES)
def test_the_figure_at_which_weights_are_reached_is_that_of_all_in_order(name, share):
    figures = CASES[name]
    weights = 2.0 ** -np.random.default_rng(5).integers(0, 4, len(figures))
    wanted = share * float(weights.sum()) - 1e-7
    order = np.argsort(figures, kind="stable")
    at = np.searchsorted(np.cumsum(weights[order]), wanted)

    assert find_reached(figures, weights, wanted, share) == figures[order[at]]


def test_more_than_all_weights_gives_the_largest():
    figures = CASES["even count"]

    assert find_reached(figures, np.ones_like(figures), len(figures) + 1, 0.98) == figures.max()
