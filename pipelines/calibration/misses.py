"""How far jobs came out from what the other jobs would have said of them."""

from math import ceil

import numpy as np

from pipelines.calibration.pooling import Floats, Pooling

MOST_LEVERAGE = 0.5
"""A job that all but sets its own fit is not blown up further than twice its miss."""

ROUNDING = 1e-9
"""Slack for shares that binary fractions hold a hair too large."""


def miss_by_others(misses: Floats, pooling: Pooling) -> Floats:
    """
    Turn each job's miss by the fit into its miss by the fit to all other jobs.

    Exact for a leverage up to `MOST_LEVERAGE`: miss / (1 - leverage).
    """
    leverage: Floats = np.minimum(pooling.leverage, MOST_LEVERAGE)
    return misses / (1 - leverage)


def rank_of_share(count: int, share: float) -> int:
    """
    Give the rank, from 1, of the smallest of `count` past misses that covers `share`.

    It is the share of count + 1, rounded up, since the job to come is one more. A rank above
    `count` says that so few jobs can't tell.
    """
    return ceil((count + 1) * share - ROUNDING)


def miss_at_share(misses: Floats, share: float) -> float:
    """Give the miss that `share` of jobs stays within; the largest where too few can tell."""
    rank = min(max(rank_of_share(len(misses), share), 1), len(misses))
    return float(np.sort(misses)[rank - 1])
