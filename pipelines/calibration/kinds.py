"""Which kinds of material past jobs are asked about."""

FITTED_KINDS = frozenset({"trim", "batten", "board", "mat", "resin", "topcoat", "corner piece"})
"""Kinds whose loss is fitted by job type. The rest are small, or carried from job to job."""

WHOLE_PIECE_KINDS = frozenset({"trim", "batten", "board", "corner piece"})
"""Kinds used in whole pieces: one piece too many on a job of one piece is a ratio of 1, no slip."""
