"""What an estimate has to say before anybody works by it, and whom to ask."""

from decimal import Decimal

ROUTINE_AREA_M2 = 50
"""Laid direct on timber mostly up to 50 m2, as a warranty body's page says."""

_DATA_SHEETS = (
    "Product and safety data sheets go before any figure here; a quantity of catalyst is what to "
    "bring, never a dose. Assessments of substances, work at height and Building Regulations are "
    "the firm's duty."
)
_NOT_ROUTINE = (
    "Not priced as routine, ask first: joists over 600 mm apart, no fall, a balcony or stored load "
    "(structural engineer); a damp, rotten or unknown deck (survey); near a boundary, or "
    "insulation changed (building control); asbestos or tar suspected: stop (licensed surveyor)."
)


def find_cautions(
    area_m2: Decimal | None, work: str | None, longest_joined_mm: int | None
) -> tuple[str, ...]:
    """
    Return the cautions of a roof, the usual ones last.

    Args:
        area_m2: area as quoted.
        work: kind of work.
        longest_joined_mm: the longest edge that no single length of its trim covers.

    """
    found = []
    if area_m2 is not None and area_m2 > ROUTINE_AREA_M2:
        found.append(
            f"{area_m2.normalize():f} m2 is above {ROUTINE_AREA_M2} m2: no routine roof on timber; "
            "ask the resin's maker and a structural engineer before it is priced."
        )
    if work is None or work == "overlay":
        kind = "Overlay" if work else "The kind of work is not said; if it is an overlay"
        found.append(
            f"{kind}: price it only after a survey of the old roof (sound, dry, what it is, how it "
            "is fixed); ask a surveyor where any of these is not known."
        )
    if longest_joined_mm is not None:
        found.append(
            f"How long an edge may run without a movement joint is not known here, and one is "
            f"{longest_joined_mm} mm: see the trim's and resin's data sheets, or ask their makers."
        )
    return (*found, _DATA_SHEETS, _NOT_ROUTINE)
