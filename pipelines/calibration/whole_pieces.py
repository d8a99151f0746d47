"""Loads in whole pieces: lengths, boards, cartridges, corner pieces."""

import numpy as np
import polars as pl

from pipelines.calibration.mixed_model import Floats

NEAREST = 0.5
SHIFTS = tuple(
    sorted(np.round(np.arange(0, 1.51, 0.1), 2).tolist(), key=lambda s: abs(s - NEAREST))
)
"""What is added before a count of pieces is rounded down, the nearest piece first."""

PAIR_SHIFTS = tuple(np.arange(0.5, 3.01, 0.25).tolist())
"""The same where nothing but whole pieces stands on top of the base."""

ROUNDING = 1e-9
"""Slack for counts that binary fractions hold a hair too low."""


def round_to_pieces(quantity: Floats, piece_quantity: float, piece_shift: float) -> Floats:
    """Return piece x floor(quantity / piece + shift): at a shift of a half the nearest piece."""
    count = np.floor(quantity / piece_quantity + piece_shift + ROUNDING)
    return np.asarray(piece_quantity * count)


def load_in_pieces(quantity: pl.Expr) -> pl.Expr:
    """Return `round_to_pieces` by the columns piece_quantity and piece_shift, as is where null."""
    piece, shift = pl.col("piece_quantity"), pl.col("piece_shift")
    whole = piece * (quantity / piece + shift + ROUNDING).floor()
    return pl.coalesce(whole, quantity)


def pinball(used: Floats, loaded: Floats, scale: Floats, share: float) -> Floats:
    """
    Return the loss of each load: share x what ran short, 1 - share x what was over.

    Over `scale`, one figure a job. Its mean is least over all loads at the quantile `share` of use.
    """
    short = (used - loaded) / scale
    return np.asarray(np.maximum(share * short, (share - 1) * short))
