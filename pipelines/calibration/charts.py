"""Sums and averages over jobs in the order of their days, in which a lasting change adds up."""

from collections.abc import Sequence

import numpy as np

from pipelines.calibration.mixed_model import Floats

SLACK = 0.5
"""What a score may be off, in scatters, before it adds to a sum: half of a change of one."""

LOOK_AT = 5.0
"""A sum beyond this asks for a look: chance alone comes so far once in about 465 jobs."""

ACT_AT = 8.0
"""A sum beyond this is acted on: chance alone comes so far once in about 9500 jobs."""

SMOOTH_SHARE = 0.2
"""What the newest job counts in a running average."""


def add_score(upper: Floats, lower: Floats, score: Floats) -> tuple[Floats, Floats]:
    """
    Return the sums of a tabular CUSUM after one more score, of one chart or of many at once.

    upper = max(0, upper + score - 0.5) grows where use goes up, lower = max(0, lower - score
    - 0.5) where it goes down; both start at 0. E. S. Page's scheme in its usual tabular form.

    Args:
        upper: sums so far, in scatters.
        lower: the same.
        score: misses of the next job of each chart, in scatters, centred on 0.

    """
    return np.maximum(0.0, upper + score - SLACK), np.maximum(0.0, lower - score - SLACK)


def smooth(values: Sequence[float], start: float, share: float) -> list[float]:
    """
    Return the exponentially weighted moving average after each value.

    average = share x value + (1 - share) x the average before, which is `start` at first.
    """
    averages = []
    average = start
    for value in values:
        average = share * value + (1 - share) * average
        averages.append(average)
    return averages
