"""Use from counts alone on simulated yards, beside the mean of monthly percentages."""

from dataclasses import dataclass

import numpy as np
import pytest

from pipelines.stock.count_lines import Periods, draw_line, fit_line

pytestmark = pytest.mark.slow

WASTE, JOB_NOISE, DRUM_KG, RESERVE_KG = 0.12, 0.10, 225.0, 150.0
EVEN, UNEVEN = (8, 8), (1, 15)
"""Least and most jobs of a month."""
YARDS = 1500


@dataclass(frozen=True)
class Tried:
    """Errors of three ways over many yards, and how often the interval held the truth."""

    monthly: float
    pooled: float
    line: float
    bias: float
    covered: float


def _simulate(rng, months, count_error, jobs_a_month):
    """
    Draw a yard: jobs of 20 to 100 kg, drums bought as wanted, each count out by a share of itself.

    All of it invented.
    """
    least, most = jobs_a_month
    jobs = [rng.uniform(20, 100, rng.integers(least, most + 1)) for _ in range(months)]
    used = [
        (each * (1 + WASTE + JOB_NOISE * rng.standard_normal(len(each)))).sum() for each in jobs
    ]
    true, bought = [RESERVE_KG + DRUM_KG], []
    for amount in used:
        drums = max(0, int(np.ceil((RESERVE_KG + amount - true[-1]) / DRUM_KG)))
        bought.append(drums * DRUM_KG)
        true.append(true[-1] + bought[-1] - amount)
    true = np.array(true)
    counted = true * (1 + count_error * rng.standard_normal(months + 1))
    return Periods(
        used=counted[:-1] + np.array(bought) - counted[1:],
        base=np.array([each.sum() for each in jobs]),
        job_square=np.array([(each**2).sum() for each in jobs]),
        count_variance=(count_error * true) ** 2,
        is_known=np.ones(months, bool),
    )


def _try_out(months, count_error, draw, jobs_a_month=EVEN):
    rng = np.random.default_rng(20260531)
    monthly, pooled, slopes, errors = [], [], [], []
    for _ in range(YARDS):
        yard = _simulate(rng, months, count_error, jobs_a_month)
        line = draw(yard)
        monthly.append(np.mean(yard.used / yard.base) - 1)
        pooled.append(yard.used.sum() / yard.base.sum() - 1)
        slopes.append(line.slope - 1)
        errors.append(line.standard_error)
    misses, errors = np.array(slopes) - WASTE, np.array(errors)
    return Tried(
        float(np.std(monthly)),
        float(np.std(pooled)),
        float(np.std(slopes)),
        float(misses.mean()),
        float((np.abs(misses) < 1.96 * errors).mean()),
    )


@pytest.mark.parametrize("jobs_a_month", [EVEN, UNEVEN])
@pytest.mark.parametrize(("months", "count_error"), [(6, 0.04), (12, 0.04), (24, 0.04), (12, 0.08)])
def test_the_line_is_nearest_and_says_how_near(months, count_error, jobs_a_month):
    tried = _try_out(months, count_error, lambda yard: draw_line(yard, JOB_NOISE), jobs_a_month)

    # three standard errors of a share of 1500 are 0.017, of their mean 0.08 of a standard error
    assert abs(tried.covered - 0.95) < 0.017
    assert abs(tried.bias) < 0.08 * tried.line
    assert tried.line < tried.pooled
    assert tried.line < tried.monthly


def test_where_months_differ_the_mean_of_monthly_percentages_is_out_by_twice_as_much():
    tried = _try_out(12, 0.04, lambda yard: draw_line(yard, JOB_NOISE), UNEVEN)

    assert tried.line < 0.5 * tried.monthly


def test_with_the_noise_of_jobs_found_from_the_counts_the_interval_still_nearly_holds():
    tried = _try_out(24, 0.04, fit_line)

    assert tried.covered > 0.91
    assert abs(tried.bias) < 0.08 * tried.line
