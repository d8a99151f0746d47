"""Base units by kind of material, and the spellings that people write for a unit."""

from decimal import Decimal

BASE_UNIT_OF_KIND = {
    "trim": "m",
    "batten": "m",
    "firring": "m",
    "bandage": "m",
    "mat": "m2",
    "board": "m2",
    "insulation": "m2",
    "resin": "kg",
    "topcoat": "kg",
    "catalyst": "kg",
    "primer": "kg",
    "corner piece": "each",
    "fixing": "each",
    "sundry": "each",
    "adhesive": "ml",
    "sealant": "ml",
    "solvent": "l",
}

UNIT_SPELLINGS = {
    "mm": ("mm", "millimetre", "millimetres"),
    "cm": ("cm",),
    "m": ("m", "metre", "metres", "mtr", "lm"),
    "ft": ("ft", "feet", "foot"),
    "m2": ("m2", "m²", "sqm", "sq m", "square metre", "square metres"),
    "g": ("g", "gram", "grams"),
    "kg": ("kg", "kgs", "kilo", "kilos"),
    "ml": ("ml",),
    "l": ("l", "litre", "litres", "ltr"),
    "each": ("each", "no", "no.", "piece", "pieces", "pcs", "nr"),
    "length": ("length", "lengths", "lgth", "lgths"),
    "sheet": ("sheet", "sheets", "board", "boards"),
    "roll": ("roll", "rolls"),
    "tin": ("tin", "tins"),
    "drum": ("drum", "drums"),
    "bottle": ("bottle", "bottles"),
    "pack": ("pack", "packs", "box", "boxes", "bag", "bags", "bundle", "bundles"),
    "cartridge": ("cartridge", "cartridges", "tube", "tubes"),
}

UNIT_BY_SPELLING = {word: unit for unit, words in UNIT_SPELLINGS.items() for word in words}
PACK_UNITS = ("roll", "tin", "drum", "bottle", "pack", "cartridge")

DEFAULT_STOCK_LENGTH_MM = {"trim": 3000, "batten": 3000, "firring": 3000}
"""Where the firm names none: trims are sold in 3 m lengths (two texts); marked as a default."""

DEFAULT_LAP_MM = {"trim": 50}
"""Common practice, no source: 25 to 50 mm is usual; a lap is never shortened to save a length."""

DEFAULT_KEEP_FROM_MM = {"trim": 600}
"""Common practice, no source: shorter rests are seldom used again."""

DEFAULT_KERF_MM = {"trim": 0}
"""Common practice, no source: snips take nothing; a saw or disc takes 1 to 3 mm."""

DEFAULT_LEAST_PIECE_MM = {"trim": 200}
"""Common practice, no source: a shorter piece beside a join has too little to be fixed by."""

DEFAULT_DENSITY_KG_PER_L = {
    "resin": Decimal("1.10"),
    "topcoat": Decimal("1.20"),
    "solvent": Decimal("0.791"),
}
"""Where the firm names none: common practice, acetone at 20 degrees from memory. None for
catalyst, whose density differs by product and doses people."""
