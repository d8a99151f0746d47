"""How far jobs came out from what the other jobs would have said of them."""

from math import ceil

import numpy as np

from pipelines.calibration.middles import find_reached
from pipelines.calibration.mixed_model import Floats

MOST_LEVERAGE = 0.5
"""A job that all but sets its own fit is not blown up further than twice its miss."""

ROUNDING = 1e-9
"""Slack for shares that binary fractions hold a hair too large."""


def miss_by_others(misses: Floats, leverage: Floats) -> Floats:
    """
    Turn each job's miss by the fit into its miss by the fit to all other jobs.

    Exact for a leverage up to `MOST_LEVERAGE`: miss / (1 - leverage).
    """
    return np.asarray(misses / (1 - np.minimum(leverage, MOST_LEVERAGE)))


def rank_of_share(count: int, share: float) -> int:
    """
    Give the rank, from 1, of the smallest of `count` past misses that covers `share`.

    It is the share of count + 1, rounded up, since the job to come is one more. A rank above
    `count` says that so few jobs can't tell.
    """
    return ceil((count + 1) * share - ROUNDING)


def miss_at_share(misses: Floats, weights: Floats, share: float) -> float:
    """
    Give the miss that `share` of jobs, by weight, stays within; the largest where few can tell.

    The smallest miss at which the weights add up to the share of all weights and a mean one more.
    """
    total, count = float(weights.sum()), len(misses)
    mean = total / count
    wanted = share * (total + mean) - ROUNDING * mean
    return find_reached(misses, weights, wanted, share)


def share_needed(misses: Floats, weights: Floats) -> Floats:
    """Give, for each miss, the share above which `miss_at_share` is no less than it."""
    order = np.argsort(misses, kind="stable")
    reached = np.concatenate([[0.0], np.cumsum(weights[order])])
    place = np.searchsorted(misses[order], misses, side="left")
    return np.asarray(reached[place] / (reached[-1] + reached[-1] / len(misses)))
