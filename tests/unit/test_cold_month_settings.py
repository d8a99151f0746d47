"""The months that a firm calls cold: none unless it names them."""

from datetime import date

import pytest

from pipelines.errors import SettingsError
from pipelines.month.setting_tables import tabulate_settings
from pipelines.settings import read_settings


def _read(tmp_path, text):
    file = tmp_path / "settings.toml"
    file.write_text(f'firm = "Test Roofs"\n{text}', encoding="utf-8")
    return tabulate_settings(read_settings(file), date(2026, 6, 1))["setting.cold_month"]


def test_no_month_is_cold_unless_it_is_named(tmp_path):
    assert _read(tmp_path, "").is_empty()


def test_the_months_stand_once_and_in_order(tmp_path):
    found = _read(tmp_path, "cold_months = [11, 12, 1, 2, 11]\n")

    assert found["month_no"].to_list() == [1, 2, 11, 12]


@pytest.mark.parametrize(
    "months", ["[0]", "[13]", '["May"]', "[[1]]", "12", "[1,2,3,4,5,6,7,8,9,10,11,12]"]
)
def test_what_is_no_month_and_all_of_them_are_refused(tmp_path, months):
    with pytest.raises(SettingsError, match="cold_months"):
        _read(tmp_path, f"cold_months = {months}\n")
