"""
Pooling against published figures: yields of dyestuff from six batches.

Davies and Goldsmith (eds), Statistical Methods in Research and Production, 4th ed. 1972, s. 6.4.
Restricted likelihood puts 1764.05 between batches and 2451.25 within; with these the batch
effects are those that lme4 1.1-31 gives (REML), and the shrink factor is 1 - 2451.25 / 11271.5.
"""

import numpy as np
import pytest

from pipelines.calibration.pooling import Pooling, pool

YIELDS = (
    (1545, 1440, 1440, 1520, 1580),
    (1540, 1555, 1490, 1560, 1495),
    (1595, 1550, 1605, 1510, 1560),
    (1445, 1440, 1595, 1465, 1545),
    (1595, 1630, 1515, 1635, 1625),
    (1520, 1455, 1450, 1480, 1445),
)


@pytest.fixture(name="dyestuff")
def pool_dyestuff() -> Pooling:
    yields = np.array(YIELDS, dtype=np.float64).ravel()
    return pool(
        yields,
        np.zeros_like(yields),
        np.repeat(np.arange(6), 5),
        group_count=6,
        spread_ratio=float(np.sqrt(1764.05 / 2451.25)),
    )


def test_mean_is_that_of_all_yields(dyestuff: Pooling) -> None:
    assert dyestuff.mean == pytest.approx(1527.5, rel=1e-9)


def test_batches_are_trusted_by_the_published_factor(dyestuff: Pooling) -> None:
    assert dyestuff.trust == pytest.approx(np.full(6, 0.782526727), rel=1e-6)


def test_batch_effects_are_the_published_ones(dyestuff: Pooling) -> None:
    assert dyestuff.rate - dyestuff.mean == pytest.approx(
        np.array([-17.60685, 0.39126, 28.56223, -23.08454, 56.73319, -44.99529]), abs=1e-4
    )
