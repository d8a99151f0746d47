"""Which kinds of material past jobs are asked about, and how each is used."""

FITTED_KINDS = frozenset(
    {
        *("trim", "batten", "board", "mat", "resin", "topcoat", "corner piece"),
        *("adhesive", "sealant"),
    }
)
"""Kinds whose loss is fitted by job type. The rest are small, or carried from job to job."""

POURED_KINDS = frozenset({"resin", "topcoat"})
"""Kinds that are mixed and laid wet, so that the weather may tell on their use."""

CUT_KINDS = frozenset({"trim", "batten", "board", "mat"})
"""Kinds that are cut: a drawing tells what its best plan uses up, and what one without re-use."""

ROUNDED_KINDS = frozenset({"batten", "board", "corner piece", "adhesive", "sealant"})
"""Kinds of which a job takes whole pieces. Trim is none: what is racked comes off its use."""

COUNTED_KINDS = CUT_KINDS | ROUNDED_KINDS

WHOLE_PIECE_KINDS = ROUNDED_KINDS | {"trim"}
"""Kinds used in whole pieces: one piece too many on a job of one piece is a ratio of 1, no slip."""
