"""What a mapping says of a PDF beyond its columns: what proves it, and what stands below it."""

from collections.abc import Mapping
from dataclasses import dataclass, field

AMOUNT_OF = {"purchases": "line_net_gbp", "statements": "gross_gbp"}
"""Records that a PDF can hold, and the column whose sum its totals prove."""


@dataclass(frozen=True)
class PdfRules:
    """
    How a PDF is read and proved; labels are folded patterns with * and ?.

    `total` is the label of what is to pay, `vat` of the lines of VAT (several are added) and `net`
    of the sum without it; None where the paper prints none. `charges` are labels below the lines
    of what is no goods: label -> kind of line. `find` are patterns of whole lines whose groups
    hold for the document; `lines` are patterns of its lines, where it has no heading to go by.
    Of a statement of account, `forward` is the label of what was owed before, which is part of its
    total, and `credits_under` the headings (folded) under which amounts lower it.
    """

    total: str
    vat: str | None = None
    net: str | None = None
    charges: Mapping[str, str] = field(default_factory=dict)
    find: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()
    forward: str | None = None
    credits_under: tuple[str, ...] = ()
