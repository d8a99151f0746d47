"""Units, packs and rounding: the only home of conversion factors."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from pipelines.errors import QuantityError
from schemas.units import BASE_UNIT_OF_KIND, PACK_UNITS, UNIT_BY_SPELLING

MM_IN_M = 1000
G_IN_KG = 1000
ML_IN_L = 1000
MM2_IN_M2 = 1_000_000
CM_IN_M = 100
CL_IN_L = 100
KG_IN_TONNE = 1000
PER_CENT_IN_WHOLE = 100
M_IN_FT = Decimal("0.3048")
"""Exact by definition."""

_FACTORS: Mapping[tuple[str, str], Fraction] = {
    ("mm", "m"): Fraction(1, MM_IN_M),
    ("cm", "m"): Fraction(1, CM_IN_M),
    ("ft", "m"): Fraction(M_IN_FT),
    ("g", "kg"): Fraction(1, G_IN_KG),
    ("l", "ml"): Fraction(ML_IN_L),
    ("ml", "l"): Fraction(1, ML_IN_L),
}
"""Factors that hold for every material."""

_THOUSANDTH = Decimal("0.001")
_PENNY = Decimal("0.01")


@dataclass(frozen=True)
class Item:
    """
    What has to be known of a material to convert its quantities.

    `unit` is the unit that the firm writes where a row names none. `pack_size` is in the base unit;
    lengths are in mm; `tare_kg`, `g_per_m2`, `density_kg_per_l` and `pieces_per_kg` as named.
    `defaults` names the figures that are common practice, not the firm's own.
    """

    material: str
    kind: str
    unit: str = ""
    pack_size: Decimal | None = None
    stock_length_mm: int | None = None
    length_mm: int | None = None
    width_mm: int | None = None
    pieces_per_kg: Decimal | None = None
    density_kg_per_l: Decimal | None = None
    g_per_m2: Decimal | None = None
    tare_kg: Decimal | None = None
    defaults: frozenset[str] = frozenset()

    @property
    def base_unit(self) -> str:
        """Return the unit that the ledger keeps this material in."""
        return BASE_UNIT_OF_KIND[self.kind]

    @property
    def usual_pack_size(self) -> Decimal | None:
        """Return what one pack, length or sheet holds in base units, where it is known."""
        if self.pack_size is not None:
            return self.pack_size
        sizes = _by_size(self)
        whole = sizes.get("length") or sizes.get("sheet")
        if whole is not None:
            return round_quantity(whole)
        return Decimal(1) if self.base_unit == "each" else None

    @property
    def piece_size(self) -> Decimal | None:
        """Return what is used as a whole in base units: a length, sheet or piece, else the pack."""
        if self.base_unit == "each":
            return Decimal(1)
        sizes = _by_size(self)
        whole = sizes.get("length") or sizes.get("sheet")
        return self.pack_size if whole is None else round_quantity(whole)


def unit_of(spelling: str) -> str:
    """Return the unit that `spelling` means; QuantityError where it means none."""
    folded = " ".join(spelling.lower().split())
    if folded not in UNIT_BY_SPELLING:
        raise QuantityError(f"'{spelling}' is no unit that is known")
    return UNIT_BY_SPELLING[folded]


def round_quantity(value: Decimal | Fraction) -> Decimal:
    """Return `value` to three decimals, half away from zero."""
    if isinstance(value, Decimal):
        return value.quantize(_THOUSANDTH, rounding=ROUND_HALF_UP)
    return round_whole(value / Fraction(_THOUSANDTH)) * _THOUSANDTH


def round_whole(value: Fraction) -> int:
    """Return `value` as a whole number, half away from zero."""
    size = abs(value)
    whole = (2 * size.numerator + size.denominator) // (2 * size.denominator)
    return whole if value >= 0 else -whole


def round_money(value: Decimal) -> Decimal:
    """Return `value` in GBP to the penny, half away from zero, as the warehouse rounds."""
    return value.quantize(_PENNY, rounding=ROUND_HALF_UP)


def base_units_in(unit: str, item: Item) -> Fraction:
    """
    Return how many base units of `item` one `unit` is, exactly.

    Raises QuantityError, naming the units that can be converted, where it is not known.
    """
    factors = _units_that_can(item)
    if unit not in factors:
        can = ", ".join(sorted(factors))
        raise QuantityError(
            f"{item.material} is kept in {item.base_unit} and '{unit}' cannot be converted to it; "
            f"these can: {can}"
        )
    return factors[unit]


def to_base(value: Decimal, unit: str, item: Item) -> Decimal:
    """Return `value` in the base unit of `item`, rounded once to three decimals."""
    return round_quantity(Fraction(value) * base_units_in(unit, item))


def _units_that_can(item: Item) -> dict[str, Fraction]:
    base = item.base_unit
    factors = {base: Fraction(1)}
    factors |= {unit: factor for (unit, to), factor in _FACTORS.items() if to == base}
    factors |= _by_size(item)
    factors |= _by_mass(item)
    if item.pack_size is not None:
        factors |= dict.fromkeys(PACK_UNITS, Fraction(item.pack_size))
    return factors


def _by_size(item: Item) -> dict[str, Fraction]:
    if item.base_unit == "m" and item.stock_length_mm is not None:
        length = Fraction(item.stock_length_mm, MM_IN_M)
        return {"length": length, "each": length}
    if item.base_unit == "m2" and item.length_mm is not None and item.width_mm is not None:
        sheet = Fraction(item.length_mm * item.width_mm, MM2_IN_M2)
        return {"sheet": sheet, "each": sheet}
    return {}


def _by_mass(item: Item) -> dict[str, Fraction]:
    if item.base_unit == "m2" and item.g_per_m2 is not None:
        per_kg = Fraction(G_IN_KG) / Fraction(item.g_per_m2)
        return {"kg": per_kg, "g": per_kg / G_IN_KG}
    if item.base_unit == "kg" and item.density_kg_per_l is not None:
        density = Fraction(item.density_kg_per_l)
        return {"l": density, "ml": density / ML_IN_L}
    if item.base_unit in {"l", "ml"} and item.density_kg_per_l is not None:
        per_kg = (ML_IN_L if item.base_unit == "ml" else 1) / Fraction(item.density_kg_per_l)
        return {"kg": per_kg, "g": per_kg / G_IN_KG}
    if item.base_unit == "each" and item.pieces_per_kg is not None:
        per_kg = Fraction(item.pieces_per_kg)
        return {"kg": per_kg, "g": per_kg / G_IN_KG}
    return {}
