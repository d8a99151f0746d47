"""How far counts and weighings are supposed to be out: the settings under [counting]."""

from dataclasses import asdict, dataclass
from decimal import Decimal
from pathlib import Path

from pipelines.errors import SettingsError
from pipelines.setting_section import Section

WEIGHING_ERROR_KG = Decimal("0.5")
"""Supposed, no source: what a bathroom scale is out by, as a standard error."""

JUDGED_ERROR_RATIO = Decimal("0.1")
"""Supposed, no source: what a look into an open pack is out by, over the pack."""

COUNT_FLOOR_GBP = Decimal(25)
"""Supposed, no source: a difference between counts that is worth less is not asked about."""


@dataclass(frozen=True)
class Counting:
    """How far counts and weighings are supposed to be out, and what is worth asking about."""

    weighing_error_kg: Decimal = WEIGHING_ERROR_KG
    judged_error_ratio: Decimal = JUDGED_ERROR_RATIO
    count_floor_gbp: Decimal = COUNT_FLOOR_GBP


def read_counting(top: Section, file: Path) -> Counting:
    """Return what the settings say of counting; SettingsError where a figure is below 0."""
    section = Section(top.table("counting"), file, "counting")
    usual = Counting()
    found = {
        name: usual_figure if (given := section.decimal(name)) is None else given
        for name, usual_figure in asdict(usual).items()
    }
    section.close()
    for name, figure in found.items():
        if figure < 0:
            raise SettingsError(f"{file}: setting 'counting.{name}' is {figure}; it is below 0")
    return Counting(**found)
