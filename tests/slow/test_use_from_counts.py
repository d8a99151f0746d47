"""
Use from counts alone on simulated yards, beside the mean of monthly percentages.

The trial that the method was chosen by had about eight jobs a month, as they came: there the mean
of monthly percentages was out by up to twice as much as the line, since a month of one small job
has as much say as a full one. Where every month has just eight jobs there is no small month, and
the three ways hardly differ; that is no fault of the line, which is as near as it says.
"""

from dataclasses import dataclass

import numpy as np
import pytest

from pipelines.stock.count_lines import Periods, draw_line, fit_line

pytestmark = pytest.mark.slow

WASTE, JOB_NOISE, DRUM_KG, RESERVE_KG = 0.12, 0.10, 225.0, 150.0
YARDS = 1500


def _even(_):
    return 8


def _uneven(rng):
    return rng.integers(1, 16)


def _as_they_come(rng):
    return max(1, rng.poisson(8))


PRINTED = {
    # months and counting error: pooled ratio, line
    (6, 0.04): (0.0178, 0.0172),
    (12, 0.04): (0.0115, 0.0110),
    (24, 0.04): (0.0079, 0.0075),
    (12, 0.01): (0.0109, 0.0104),
    (12, 0.08): (0.0132, 0.0121),
}
"""How far the first trial was out, 1500 yards; how large its jobs were is not on record."""


@dataclass(frozen=True)
class Tried:
    """Errors of three ways over many yards, and how often the interval held the truth."""

    monthly: float
    pooled: float
    line: float
    stated: float
    bias: float
    covered: float


def _simulate(rng, months, count_error, jobs_a_month):
    """
    Draw a yard: jobs of 20 to 100 kg, drums bought as wanted, each count out by a share of itself.

    All of it invented.
    """
    jobs = [rng.uniform(20, 100, jobs_a_month(rng)) for _ in range(months)]
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


def _try_out(months, count_error, draw, jobs_a_month=_even):
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
        float(np.sqrt((errors**2).mean())),
        float(misses.mean()),
        float((np.abs(misses) < 1.96 * errors).mean()),
    )


@pytest.mark.parametrize("jobs_a_month", [_even, _uneven, _as_they_come])
@pytest.mark.parametrize(("months", "count_error"), [(6, 0.04), (12, 0.04), (24, 0.04), (12, 0.08)])
def test_the_line_is_nearest_and_says_how_near(months, count_error, jobs_a_month):
    tried = _try_out(months, count_error, lambda yard: draw_line(yard, JOB_NOISE), jobs_a_month)

    # three standard errors of a share of 1500 are 0.017, of their mean 0.08 of a standard error
    assert abs(tried.covered - 0.95) < 0.017
    assert abs(tried.bias) < 0.08 * tried.line
    # three standard errors of a standard deviation of 1500 are 0.055 of it
    assert abs(tried.line / tried.stated - 1) < 0.055
    assert tried.line < tried.pooled
    assert tried.line < tried.monthly


def test_where_months_differ_the_mean_of_monthly_percentages_is_out_by_twice_as_much():
    tried = _try_out(12, 0.04, lambda yard: draw_line(yard, JOB_NOISE), _uneven)

    assert tried.line < 0.5 * tried.monthly


@pytest.mark.parametrize(("months", "count_error"), PRINTED)
def test_with_jobs_as_they_come_pool_and_line_are_out_by_what_the_first_trial_printed(
    months, count_error
):
    tried = _try_out(months, count_error, lambda yard: draw_line(yard, JOB_NOISE), _as_they_come)
    pooled, line = PRINTED[months, count_error]

    # three standard errors of both trials are 0.078; the sizes of its jobs are not on record
    assert abs(tried.pooled / pooled - 1) < 0.1
    assert abs(tried.line / line - 1) < 0.1


def test_with_jobs_as_they_come_the_mean_of_percentages_hangs_on_a_few_small_months():
    """
    It is out by a fifth more than the line and upwards, and never by a steady factor.

    The first trial printed 0.0211 for it at twelve months and 4 in 100, 1.9 times the line. Ours
    is out by 1.2 to 1.4 times, yard for yard the same law: a handful of months of one job make
    the figure, so that two trials of 1500 yards differ by more than their ordinary error.
    """
    tried = _try_out(12, 0.04, lambda yard: draw_line(yard, JOB_NOISE), _as_they_come)

    assert 1.1 < tried.monthly / tried.line < 2


def test_where_every_month_has_eight_jobs_the_three_ways_hardly_differ():
    tried = _try_out(12, 0.04, lambda yard: draw_line(yard, JOB_NOISE), _even)

    assert tried.monthly / tried.line < 1.1
    assert tried.pooled / tried.line < 1.1


def test_with_the_noise_of_jobs_found_from_the_counts_the_interval_still_nearly_holds():
    tried = _try_out(24, 0.04, fit_line)

    assert tried.covered > 0.91
    assert abs(tried.bias) < 0.08 * tried.line
