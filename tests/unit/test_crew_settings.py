"""Comparing vans is off unless the settings ask for it and name the vans."""

import re
from dataclasses import replace
from datetime import date

import pytest

from pipelines.errors import SettingsError
from pipelines.month.setting_tables import tabulate_settings
from pipelines.settings import read_settings

VANS = 'crews = ["first van", "second van"]\n'


def _read(tmp_path, text):
    file = tmp_path / "settings.toml"
    file.write_text(f'firm = "Test Roofs"\n{text}', encoding="utf-8")
    return read_settings(file)


def test_no_van_is_compared_unless_that_is_asked_for(tmp_path):
    settings = _read(tmp_path, VANS)

    assert not settings.compare_crews
    assert tabulate_settings(settings, date(2026, 6, 1))["setting.compared_van"].is_empty()


def test_the_vans_that_are_named_are_compared_where_it_is(tmp_path):
    settings = _read(tmp_path, f"{VANS}compare_crews = true\n")
    found = tabulate_settings(settings, date(2026, 6, 1))["setting.compared_van"]

    assert found["crew"].to_list() == ["first van", "second van"]
    again = replace(settings, compare_crews=False)
    assert tabulate_settings(again, date(2026, 6, 1))["setting.compared_van"].is_empty()


@pytest.mark.parametrize("vans", ["", 'crews = ["first van"]\n'])
def test_one_van_can_be_held_against_no_other(tmp_path, vans):
    with pytest.raises(SettingsError, match=re.escape("'compare_crews' needs 'crews'")):
        _read(tmp_path, f"{vans}compare_crews = true\n")


def test_yes_in_words_is_refused(tmp_path):
    with pytest.raises(SettingsError, match="it must be true or false"):
        _read(tmp_path, f'{VANS}compare_crews = "yes"\n')
