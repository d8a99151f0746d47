"""The line through use between counts, by hand on two and three periods."""

import numpy as np
import pytest

from pipelines.stock.count_lines import Periods, covariance_of_use, draw_line, fit_line


def _periods(used, base, job_square, count_variance, is_known=None):
    known = [True] * len(used) if is_known is None else is_known
    return Periods(
        np.array(used, float),
        np.array(base, float),
        np.array(job_square, float),
        np.array(count_variance, float),
        np.array(known),
    )


def test_a_wrong_count_stands_in_both_of_its_periods_with_opposite_signs():
    covariance = covariance_of_use(
        _periods([1, 1, 1], [1, 1, 1], [100, 200, 300], [1, 4, 9, 16]), 0.1
    )

    assert covariance == pytest.approx(
        np.array([[1 + 1 + 4, -4, 0], [-4, 2 + 4 + 9, -9], [0, -9, 3 + 9 + 16]])
    )


def test_two_periods_by_hand():
    # V = [[4, -1], [-1, 4]] over N = (10, 20), U = (12, 22): V^-1 N = (4, 6),
    # slope = (4 x 12 + 6 x 22) / (4 x 10 + 6 x 20) = 180 / 160, variance = 1 / 160
    line = draw_line(_periods([12, 22], [10, 20], [200, 200], [1, 1, 1]), 0.1)

    assert line.slope == pytest.approx(180 / 160)
    assert line.standard_error == pytest.approx((1 / 160) ** 0.5)


def test_without_counting_error_it_is_weighted_least_squares():
    used, base, squares = [12.0, 22.0, 40.0], [10.0, 20.0, 30.0], [50.0, 100.0, 300.0]
    weights = [1 / square for square in squares]
    weighted = sum(w * n * u for w, n, u in zip(weights, base, used, strict=True))
    slope = weighted / sum(w * n * n for w, n in zip(weights, base, strict=True))

    line = draw_line(_periods(used, base, squares, [0, 0, 0, 0]), 0.1)

    assert line.slope == pytest.approx(slope)


def test_jobs_as_alike_as_counts_are_wrong_tend_to_the_pooled_ratio():
    # periods of one size, noise of jobs far below the error of counts: only the first and the
    # last count are left, as in the sum over all periods
    used = [11.0, 13.5, 10.0, 13.0]
    line = draw_line(_periods(used, [10.0] * 4, [25.0] * 4, [0, 1e6, 1e6, 1e6, 0]), 0.1)

    assert line.slope == pytest.approx(sum(used) / 40, abs=1e-4)


def test_a_period_with_a_job_of_unknown_need_does_not_speak():
    known = draw_line(_periods([12, 22], [10, 20], [200, 200], [1, 1, 1]), 0.1)
    beside = draw_line(
        _periods([12, 22, 99], [10, 20, 1], [200, 200, 1], [1, 1, 1, 1], [True, True, False]), 0.1
    )

    assert (beside.slope, beside.standard_error) == (known.slope, known.standard_error)


def test_the_noise_found_is_likelier_than_its_neighbours():
    # exact counts and jobs of one size: the restricted likelihood has its top where
    # noise^2 x square = sum of squared misses / (periods - 1)
    used, square = [11.0, 12.5, 10.4, 12.1], 50.0
    mean = sum(used) / 4
    noise = (sum((u - mean) ** 2 for u in used) / 3 / square) ** 0.5

    line = fit_line(_periods(used, [10.0] * 4, [square] * 4, [0] * 5))

    assert line.slope == pytest.approx(mean / 10)
    assert line.noise_ratio == pytest.approx(noise, abs=3e-4)
