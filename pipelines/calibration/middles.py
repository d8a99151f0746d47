"""Exact medians and weighted ranks of many figures, without putting all of them in order."""

import numpy as np

from pipelines.calibration.mixed_model import Floats

MANY = 20_000
"""Up to so many figures are put in order outright."""

PROBES = 4_096
BRACKET_ERRORS = 4.0
"""Half the width of the bracket, in standard errors of the probes' share."""


def find_median(figures: Floats) -> float:
    """
    Give the median, as numpy's does, to the last digit.

    Of many figures every so-manieth brackets it; those below are counted, and only those within
    are put in order (after Floyd and Rivest's selection, from memory). A bracket that misses is
    noticed, and all are put in order.
    """
    count = len(figures)
    if count <= MANY:
        return _middle(np.sort(figures), (count - 1) // 2, count // 2)
    low, high = _bracket(figures, 0.5)
    is_below = figures < low
    inside = figures[(figures <= high) ^ is_below]
    below = int(np.count_nonzero(is_below))
    first, last = (count - 1) // 2 - below, count // 2 - below
    if first < 0 or last >= len(inside):
        return _middle(np.sort(figures), (count - 1) // 2, count // 2)
    return _middle(np.sort(inside), first, last)


def _middle(ordered: Floats, first: int, last: int) -> float:
    return float((ordered[first] + ordered[last]) / 2)


def find_reached(figures: Floats, weights: Floats, wanted: float, about_share: float) -> float:
    """
    Give the smallest figure at which the weights of it and all below reach `wanted`.

    The largest where none does. `about_share` says near which share of the figures it lies.
    """
    if len(figures) > MANY:
        low, high = _bracket(figures, about_share)
        is_below = figures < low
        below = float((weights * is_below).sum())
        is_inside = (figures <= high) ^ is_below
        within = _walk(figures[is_inside], weights[is_inside], wanted - below)
        if below < wanted and within is not None:
            return within
    found = _walk(figures, weights, wanted)
    return float(figures.max()) if found is None else found


def _bracket(figures: Floats, share: float) -> tuple[float, float]:
    probes = np.sort(figures[:: len(figures) // PROBES])
    most = len(probes) - 1
    error = BRACKET_ERRORS * float(np.sqrt(share * (1 - share) / most))
    low, high = (round(most * min(max(share + part, 0), 1)) for part in (-error, error))
    return float(probes[low]), float(probes[high])


def _walk(figures: Floats, weights: Floats, wanted: float) -> float | None:
    order = np.argsort(figures)
    reached = np.cumsum(weights[order])
    rank = int(np.searchsorted(reached, wanted))
    return float(figures[order[rank]]) if rank < len(figures) else None
