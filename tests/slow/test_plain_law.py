"""Whether the fit comes nearer to the law of invented jobs than a share of each type's jobs."""

from datetime import date
from math import sqrt

import numpy as np
import pytest

from pipelines.calibration.material_fit import fit_material
from tests.slow.plain_law import MONTHS, invent, lay_lines

SHARE = 0.85
HISTORIES = 20

pytestmark = pytest.mark.slow


def _pinball(loaded, history, scored):
    over = (history.draws[:, scored] - loaded) / history.base[scored]
    return np.maximum(SHARE * over, (SHARE - 1) * over).mean(axis=0)


def _load_by_fit(history, month, scored):
    lines = lay_lines(history, month)
    as_of = date(2023 + month // 12, month % 12 + 1, 1)
    fit = fit_material(lines, SHARE, [f"type {at}" for at in range(8)], as_of)
    rates = np.array([rate.pooled_ratio for rate in fit.rates])[history.kind[scored]]
    return history.base[scored] * (1 + rates + fit.error_ratio) + fit.fixed_loss


def _load_by_type(history, month, scored):
    """Load each type's own share of past jobs; that of all jobs where it has none."""
    known = history.month < month
    ratio = history.used / history.base
    loaded = []
    for kind in history.kind[scored]:
        own = ratio[known & (history.kind == kind)]
        loaded.append(np.quantile(own if len(own) else ratio[known], SHARE, method="higher"))
    return history.base[scored] * np.array(loaded)


def _score(seed, jobs_a_year):
    found = []
    for history in invent(seed, jobs_a_year):
        oracle = np.quantile(history.draws, SHARE, axis=0)
        for month in range(13, MONTHS, 4):
            scored = history.month == month
            ways = (
                _load_by_fit(history, month, scored),
                _load_by_type(history, month, scored),
                oracle[scored],
            )
            found.append(np.array([_pinball(way, history, scored) for way in ways]))
    fitted, by_type, oracle = np.concatenate(found, axis=1).mean(axis=1)
    return (fitted - oracle) / (by_type - oracle)


@pytest.mark.parametrize(("jobs_a_year", "bar"), [(60, 0.45), (200, 0.30), (400, 0.30)])
def test_excess_over_the_law_as_a_share_of_that_of_a_share_by_type(jobs_a_year, bar, capsys):
    shares = [_score(seed, jobs_a_year) for seed in range(HISTORIES)]
    mean, error = np.mean(shares), np.std(shares, ddof=1) / sqrt(HISTORIES)
    with capsys.disabled():
        print(f"\n{jobs_a_year} jobs a year: {mean:.3f} (two standard errors {2 * error:.3f})")  # noqa: T201 - the figure is the point of a long test

    assert mean <= bar
