"""How each crew works: what it looks at before it cuts, how it mixes, what it spoils."""

from dataclasses import dataclass
from datetime import date

from sample_data.firm import CREW_CHANGE_ON, RESIN_STEP_ON


@dataclass(frozen=True)
class Habits:
    """Chances from 0 to 1, a mix in grams, resin used beyond the usual as a ratio."""

    looks_at_leftovers: float
    looks_at_rack: float
    keeps_leftovers: float
    spoils_length: float
    longest_first: float
    mix_g: int
    resin_ratio: float


FIRST_VAN = Habits(0.85, 0.55, 0.9, 0.02, 0.6, 5000, 0.0)
SECOND_VAN_BEFORE = Habits(0.55, 0.25, 0.75, 0.04, 0.2, 4000, 0.05)
SECOND_VAN_AFTER = Habits(0.8, 0.5, 0.9, 0.025, 0.5, 5000, 0.01)

RESIN_STEP_RATIO = 0.07
COLD_DECK_C = 8
COLD_RATIO = 0.04
MIX_LOSS_G = 100


def find_habits(crew: str, day: date) -> Habits:
    """Return the habits of a crew on a day; the second van's crew changes once."""
    if crew == "first van":
        return FIRST_VAN
    return SECOND_VAN_BEFORE if day < CREW_CHANGE_ON else SECOND_VAN_AFTER


def raise_resin(crew: str, day: date, deck_c: int) -> float:
    """Return the crew's, the season's and the lasting step's share of resin as one ratio."""
    step = RESIN_STEP_RATIO if day >= RESIN_STEP_ON else 0.0
    cold = COLD_RATIO if deck_c < COLD_DECK_C else 0.0
    return find_habits(crew, day).resin_ratio + step + cold
