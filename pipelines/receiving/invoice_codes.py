"""Codes that electronic invoices are written in: types of documents, units, reasons of charges."""

from dataclasses import dataclass
from decimal import Decimal

from pipelines.quantities import (
    CL_IN_L,
    CM_IN_M,
    G_IN_KG,
    KG_IN_TONNE,
    M_IN_FT,
    ML_IN_L,
    MM_IN_M,
)

DEPOSIT_TYPE = "386"

INVOICE_TYPES = frozenset({
    "80", "82", "326", "380", "383", "384", DEPOSIT_TYPE, "389", "393", "394", "751", "780",
})  # fmt: skip
"""UNTDID 1001: documents that ask for money. Left out on purpose: 325, pro forma, asks for none;
875 to 877, parts of a running building contract, may repeat what the part before has said."""

CREDIT_TYPES = frozenset({"81", "83", "261", "262", "296", "308", "381", "396", "458", "532"})
"""UNTDID 1001: documents that give money back, their amounts written as if positive."""

CARRIAGE_CODES = frozenset({"FC", "DL", "SAA"})
"""UNTDID 7161: freight service; delivery, shipping and handling (these two from memory)."""


@dataclass(frozen=True)
class Measure:
    """A unit that measures: the unit that the row is written in, and how many of it make one."""

    unit: str
    factor: Decimal = Decimal(1)


MEASURES = {
    "KGM": Measure("kg"),
    "GRM": Measure("kg", 1 / Decimal(G_IN_KG)),
    "TNE": Measure("kg", Decimal(KG_IN_TONNE)),
    "LTR": Measure("l"),
    "MLT": Measure("l", 1 / Decimal(ML_IN_L)),
    "CLT": Measure("l", 1 / Decimal(CL_IN_L)),
    "MTR": Measure("m"),
    "LM": Measure("m"),
    "MMT": Measure("m", 1 / Decimal(MM_IN_M)),
    "CMT": Measure("m", 1 / Decimal(CM_IN_M)),
    "FOT": Measure("m", M_IN_FT),
    "MTK": Measure("m2"),
}
"""UN/ECE Recommendation 20, by code; litres, metres and kilograms so that no thousandth is lost."""

COUNTS = {
    "C62": "each",
    "H87": "each",
    "EA": "each",
    "NAR": "each",
    "XPP": "each",
    "XBG": "pack",
    "XBX": "pack",
    "XCT": "pack",
    "XPA": "pack",
    "XPK": "pack",
    "XBE": "pack",
    "XCA": "tin",
    "XTN": "tin",
    "XPL": "drum",
    "XDR": "drum",
    "XBO": "bottle",
    "XRO": "roll",
    "XTU": "cartridge",
    "XCQ": "cartridge",
    "XST": "sheet",
    "XBD": "sheet",
}
"""Recommendation 20, and 21 behind its X, for things that are counted: our word for one. A pail is
said as a drum, a can as a tin; the words only name a pack, its size comes from the item."""
