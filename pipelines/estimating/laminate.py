"""Resin, mass and thickness of a laminate of chopped-strand mats."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from types import MappingProxyType

from pipelines.errors import QuantityError
from pipelines.quantities import G_IN_KG

NOMINAL_GLASS_RATIO: Mapping[str, float] = MappingProxyType(
    {"simple": 0.30, "complex": 0.25, "vacuum": 0.36}
)
"""Nominal glass by mass of chopped-strand mat, by surface or process: ISO 12215-5 Table C.2."""

LEAST_GLASS_RATIO = 0.20
MOST_GLASS_RATIO = 0.60


@dataclass(frozen=True)
class Laminate:
    """What a square metre of laminate is made of, without soak, laps or loss."""

    glass_kg_per_m2: float
    resin_kg_per_m2: float
    total_kg_per_m2: float
    thickness_mm: float


def laminate(
    mats_g_per_m2: Sequence[int], glass_ratio: float | str = NOMINAL_GLASS_RATIO["simple"]
) -> Laminate:
    """
    Work out a laminate from its mats.

    With w the dry glass in kg per m2 and psi the glass by mass: resin is w (1 - psi) / psi, the
    whole w / psi, the thickness (w / 3.072) (2.56 / psi - 1.36) mm (ISO 12215-5 Eq. C.1).

    Args:
        mats_g_per_m2: dry mass of each layer, in g per m2; one entry per layer.
        glass_ratio: glass over laminate by mass, 0.20 to 0.60, or a name of
            `NOMINAL_GLASS_RATIO`.

    Raises:
        QuantityError: no mat, a mat without mass, or a glass ratio that is not allowed.

    """
    psi = _glass_ratio(glass_ratio)
    glass = _glass_kg_per_m2(mats_g_per_m2)
    return Laminate(
        glass_kg_per_m2=glass,
        resin_kg_per_m2=glass * (1 - psi) / psi,
        total_kg_per_m2=glass / psi,
        thickness_mm=glass / 3.072 * (2.56 / psi - 1.36),
    )


def _glass_kg_per_m2(mats_g_per_m2: Sequence[int]) -> float:
    if not mats_g_per_m2:
        raise QuantityError(
            "mats_g_per_m2 is empty: a laminate needs at least one mat; give its mass in g per m2"
        )
    for mat in mats_g_per_m2:
        if mat <= 0:
            raise QuantityError(f"mats_g_per_m2: {mat} is not a mass; give g per m2 above 0")
    return sum(mats_g_per_m2) / G_IN_KG


def _glass_ratio(given: float | str) -> float:
    if isinstance(given, str):
        if given not in NOMINAL_GLASS_RATIO:
            names = ", ".join(NOMINAL_GLASS_RATIO)
            raise QuantityError(
                f'glass_ratio: "{given}" is no nominal content; allowed: {names}, or a number'
            )
        return NOMINAL_GLASS_RATIO[given]
    if not LEAST_GLASS_RATIO <= given <= MOST_GLASS_RATIO:
        raise QuantityError(
            f"glass_ratio: {given} is not allowed; glass over laminate by mass lies between "
            f"{LEAST_GLASS_RATIO:.2f} and {MOST_GLASS_RATIO:.2f}"
        )
    return given
