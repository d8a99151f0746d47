"""How sure a load shall be: set for each material, for whole jobs, or by what a trip costs."""

from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from pipelines.errors import SettingsError
from pipelines.setting_section import Section

LOAD_SHARE = 0.85
LEAST_SHARE, MOST_SHARE = 0.5, 0.98
"""The range in which the share of a material was studied."""

LEAST_TRIP_SHARE, MOST_TRIP_SHARE = Decimal("0.01"), Decimal("0.5")


@dataclass(frozen=True)
class Load:
    """
    What the owner says of loads.

    `load_share`: share of jobs that shall not run short of a material. In its place may stand
    `second_trip_share`, the share of whole jobs that may need a second trip, or `trip_gbp` with
    `surplus_ratio`: what a second trip costs, and what bringing goods back costs over their price.
    """

    load_share: float = LOAD_SHARE
    second_trip_share: Decimal | None = None
    trip_gbp: Decimal | None = None
    surplus_ratio: Decimal | None = None

    @property
    def is_by_material(self) -> bool:
        """Tell whether the share of each material is set, and none is to be found."""
        return self.second_trip_share is None and self.trip_gbp is None


def read_load(top: Section, file: Path) -> Load:
    """
    Return what the settings say of loads, the usual share where they say nothing.

    Raises SettingsError where a figure lies outside its range, where a trip's cost stands without
    a surplus's, and where both a share of jobs and costs are set.
    """
    section = Section(top.table("load"), file, "load")
    load = Load(
        load_share=float(top.decimal("load_share") or LOAD_SHARE),
        second_trip_share=section.decimal("second_trip_share"),
        trip_gbp=section.decimal("trip_gbp"),
        surplus_ratio=section.decimal("surplus_ratio"),
    )
    section.close()
    for says in _find_faults(load):
        raise SettingsError(f"{file}: setting {says}")
    return load


def _find_faults(load: Load) -> list[str]:
    share, trip, surplus = load.second_trip_share, load.trip_gbp, load.surplus_ratio
    checks = {
        f"'load_share' is {load.load_share}; it must lie in {LEAST_SHARE} to {MOST_SHARE}": (
            LEAST_SHARE <= load.load_share <= MOST_SHARE
        ),
        (
            f"'load.second_trip_share' is {share}; it must lie in {LEAST_TRIP_SHARE} to "
            f"{MOST_TRIP_SHARE}"
        ): share is None or LEAST_TRIP_SHARE <= share <= MOST_TRIP_SHARE,
        f"'load.trip_gbp' is {trip}; it must be above 0": trip is None or trip > 0,
        f"'load.surplus_ratio' is {surplus}; it must be above 0": surplus is None or surplus > 0,
        "'load' needs trip_gbp and surplus_ratio together": (trip is None) == (surplus is None),
        "'load' takes second_trip_share or the two costs, not both": share is None or trip is None,
    }
    return [says for says, is_met in checks.items() if not is_met]
