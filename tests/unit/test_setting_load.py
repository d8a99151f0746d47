"""What may be said of loads in the settings."""

from decimal import Decimal

import pytest

from pipelines.errors import SettingsError
from pipelines.setting_load import Load
from pipelines.settings import read_settings


def read(tmp_path, text):
    file = tmp_path / "settings.toml"
    file.write_text(f'firm = "Two Ladders Roofing"\n{text}', encoding="utf-8")
    return read_settings(file).load


def test_where_nothing_is_said_a_material_lasts_on_85_jobs_in_100(tmp_path):
    assert read(tmp_path, "") == Load(0.85, None, None, None)
    assert read(tmp_path, "").is_by_material


@pytest.mark.parametrize(
    ("text", "load"),
    [
        ("load_share = 0.9", Load(0.9)),
        ('[load]\nsecond_trip_share = "0.1"', Load(0.85, second_trip_share=Decimal("0.1"))),
        (
            '[load]\ntrip_gbp = "60.00"\nsurplus_ratio = 0.1',
            Load(0.85, trip_gbp=Decimal("60.00"), surplus_ratio=Decimal("0.1")),
        ),
    ],
)
def test_it_is_said_of_a_material_of_jobs_or_of_costs(tmp_path, text, load):
    assert read(tmp_path, text) == load


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("load_share = 0.99", "'load_share' is 0.99; it must lie in 0.5 to 0.98"),
        ("[load]\nsecond_trip_share = 10", "it must lie in 0.01 to 0.5"),
        ("[load]\ntrip_gbp = 60", "needs trip_gbp and surplus_ratio together"),
        ("[load]\ntrip_gbp = 0\nsurplus_ratio = 0.1", "'load.trip_gbp' is 0; it must be above 0"),
        (
            "[load]\nsecond_trip_share = 0.1\ntrip_gbp = 60\nsurplus_ratio = 0.1",
            "second_trip_share or the two costs, not both",
        ),
        ("[load]\nsecond_trips = 0.1", "second_trips"),
    ],
)
def test_what_cannot_stand_is_refused_by_name(tmp_path, text, says):
    with pytest.raises(SettingsError) as fault:
        read(tmp_path, text)

    assert says in str(fault.value)
