"""
The load at a share against published newsvendor answers: the share is the critical ratio.

Snyder and Shen, Fundamentals of Supply Chain Theory, 2nd ed. 2019, Examples 4.2 and 4.3, Problems
4.7(b) and 4.8(b), as shipped with the library stockpyl 1.0.2 (MIT); Rossi, Inventory Analytics
2021, from its library's test suite (MIT). Figures are facts; no text or code is carried over. A
demand law is laid out as its quantiles, evenly apart in probability; the discrete one as twenty
demands.
"""

from collections.abc import Callable

import numpy as np
import pytest
from scipy import stats

from pipelines.calibration.misses import miss_at_share
from pipelines.calibration.mixed_model import Floats

EVEN = np.arange(1, 20_000) / 20_000


def load_at(demands: Floats, share: float) -> float:
    return miss_at_share(demands, np.ones_like(demands), share)


@pytest.mark.parametrize(
    ("law", "short", "left", "answer"),
    [
        (stats.norm(50, 8).ppf, 0.70, 0.18, 56.60395592743389),
        # revenue 1, cost .30, salvage .12: a unit short loses .70, one left .18
        (stats.norm(50, 8).ppf, 1 - 0.3, 0.3 - 0.12, 56.60395592743389),
        (stats.lognorm(0.3, scale=np.exp(6)).ppf, 0.1765, 1.0, 295.6266448071368),
        (stats.norm(10, 2).ppf, 5.0, 1.0, 11.934843132203403),
    ],
)
def test_a_demand_of_known_law(
    law: Callable[[Floats], Floats], short: float, left: float, answer: float
) -> None:
    # the quantile laid out next above the ratio: within a twenty thousandth of probability
    assert load_at(law(EVEN), short / (short + left)) == pytest.approx(answer, rel=1e-4)


def test_a_demand_of_whole_units() -> None:
    demands = np.repeat(np.arange(1.0, 9), [5, 1, 2, 4, 3, 2, 2, 1])

    assert load_at(demands, 1_000_000 / (1_000_000 + 500_000)) == 5


def test_the_cost_at_the_load_is_the_published_one() -> None:
    demands = stats.norm(50, 8).ppf(EVEN)
    load = load_at(demands, 0.7 / 0.88)

    cost = 0.7 * np.maximum(demands - load, 0) + 0.18 * np.maximum(load - demands, 0)
    assert cost.mean() == pytest.approx(1.9976051931766445, rel=1e-3)
