"""Whether what is believed of types is as often true as it is believed, over drawn histories."""

from datetime import date
from math import sqrt

import numpy as np
import polars as pl
import pytest
from scipy.stats import chi2

from pipelines.calibration.material_fit import fit_material
from pipelines.calibration.mixed_model import solve
from pipelines.calibration.pooling import SPREAD_RATIOS, group_jobs, pool

pytestmark = pytest.mark.slow

HISTORIES = 4000
DRAWS = 99
TYPES = 6
JOBS = 60


def _draw_spread(chance):
    """Draw from the belief held before any job is seen, over the range of the grid."""
    while (spread := abs(chance.normal())) > SPREAD_RATIOS[-1]:
        pass
    return spread


def _believed(chance):
    """Return a history's true level of the first type and draws from what is believed of it."""
    levels = _draw_spread(chance) * chance.normal(size=TYPES)
    group = np.arange(JOBS) % TYPES
    size = np.exp(chance.normal(0, 0.5, JOBS))
    ratio = 0.3 * size + levels[group] + chance.normal(size=JOBS)
    ones = np.ones(JOBS)
    jobs = group_jobs(size, group, TYPES, ones, ones)
    belief = pool(ratio, jobs).belief
    solved = solve(jobs.design, ratio, SPREAD_RATIOS[:, None])
    at = chance.choice(len(belief), DRAWS, p=belief)
    freedom = JOBS - 2
    variance = solved.variance[at] * freedom / chance.chisquare(freedom, DRAWS)
    doubt = np.sqrt(variance * solved.inverse[at, 2, 2])
    return levels[0], solved.estimate[at, 2] + doubt * chance.normal(size=DRAWS)


@pytest.fixture(scope="module")
def ranks():
    chance = np.random.default_rng(11)
    found = [_believed(chance) for _ in range(HISTORIES)]
    return np.array([int((draws < true).sum()) for true, draws in found])


def test_the_rank_of_the_true_level_is_uniform(ranks):
    counts = np.bincount(ranks // 10, minlength=10)
    expected = HISTORIES / 10

    assert ((counts - expected) ** 2 / expected).sum() < chi2.ppf(0.99, 9)


@pytest.mark.parametrize(("share", "low", "high"), [(0.8, 10, 90), (0.9, 5, 95)])
def test_ranges_hold_the_true_level_as_often_as_they_say(ranks, share, low, high):
    held = ((ranks >= low) & (ranks < high)).mean()

    assert abs(held - share) < 2 * sqrt(share * (1 - share) / HISTORIES)


def _invent_jobs(chance, levels, count):
    kind = chance.integers(0, TYPES, count)
    base = np.exp(chance.normal(3, 0.5, count))
    return kind, base, base * (1.1 + levels[kind] + chance.normal(0, 0.08, count)) + 1.0


def _covered(chance, count):
    levels = 0.03 * chance.normal(size=TYPES)
    kind, base, used = _invent_jobs(chance, levels, count)
    lines = pl.DataFrame(
        {
            "material": "resin",
            "kind": "resin",
            "base_unit": "kg",
            "job_ref": [f"{at:05}" for at in range(count)],
            "job_type": [f"type {at}" for at in kind],
            "completed_on": date(2025, 3, 1),
            "base_quantity": base,
            "used_quantity": used,
        }
    )
    fit = fit_material(lines, 0.85, [f"type {at}" for at in range(TYPES)])
    kind, base, used = _invent_jobs(chance, levels, 200)
    rates = np.array([rate.pooled_ratio for rate in fit.rates])[kind]
    return (used <= fit.fixed_loss + base * (1 + rates + fit.error_ratio)).mean()


@pytest.mark.parametrize("count", [60, 400])
def test_a_load_for_85_in_100_covers_85_in_100_of_jobs_to_come(count):
    chance = np.random.default_rng(count)
    shares = [_covered(chance, count) for _ in range(200)]
    error = np.std(shares, ddof=1) / sqrt(len(shares))

    assert abs(np.mean(shares) - 0.85) < 2 * error
