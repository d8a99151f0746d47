"""
Charts over jobs against published figures.

CUSUM: average run lengths of the two-sided tabular scheme with reference 0.5 and decision interval
5 scatters, as the quality-control textbooks print them (465, 38.0, 10.4 and 4.01 jobs at a shift of
0, 0.5, 1 and 2 scatters, from memory); by D. Brook and D. A. Evans's Markov chain, Biometrika 59
(1972), 465.4, 38.0, 10.38 and 4.01. EWMA: NIST/SEMATECH e-Handbook of Statistical Methods, section
6.3.2.4, doi 10.18434/M32189, public domain: weight 0.3, start 50, twenty readings with the averages
as the page prints them, to two places.
"""

from statistics import NormalDist

import numpy as np
import pytest

from pipelines.calibration.charts import LOOK_AT, add_score, smooth

CELLS, CHANCES = 250, 20_000


def _run_length(shift: float) -> float:
    """
    Return the mean number of jobs until the upper sum goes beyond its limit.

    The sum is held to the middle of one of many narrow cells, the first of them from 0 down, and
    the score to one of many equally likely values; a linear system then gives the run lengths.
    """
    width = 2 * LOOK_AT / (2 * CELLS - 1)
    middles = width * np.arange(CELLS)
    chances = NormalDist(shift, 1)
    scores = np.array([chances.inv_cdf((at + 0.5) / CHANCES) for at in range(CHANCES)])
    upper, _ = add_score(middles[:, None], np.zeros((CELLS, 1)), scores[None, :])
    cells = np.rint(upper / width).astype(int)
    moves = np.zeros((CELLS, CELLS))
    for start in range(CELLS):
        moves[start] = np.bincount(cells[start], minlength=CELLS)[:CELLS] / CHANCES
    return float(np.linalg.solve(np.eye(CELLS) - moves, np.ones(CELLS))[0])


@pytest.mark.parametrize(("shift", "jobs"), [(0.0, 465.4), (0.5, 38.0), (1.0, 10.38), (2.0, 4.01)])
def test_run_lengths_of_the_two_sided_sums(shift: float, jobs: float) -> None:
    # one over the run length of both sums is the sum of one over each
    both = 1 / (1 / _run_length(shift) + 1 / _run_length(-shift))

    assert both == pytest.approx(jobs, rel=2e-3)


READINGS = [52.0, 47.0, 53.0, 49.3, 50.1, 47.0, 51.0, 50.1, 51.2, 50.5]
READINGS += [49.6, 47.6, 49.9, 51.3, 47.8, 51.2, 52.6, 52.4, 53.6, 52.1]
PRINTED = [50.60, 49.52, 50.56, 50.18, 50.16, 49.21, 49.75, 49.85, 50.26, 50.33]
PRINTED += [50.11, 49.36, 49.52, 50.05, 49.38, 49.92, 50.73, 51.23, 51.94, 51.99]


def test_moving_average_of_the_handbook() -> None:
    averages = smooth(READINGS, 50.0, 0.3)

    assert [round(each, 2) for each in averages] == PRINTED
