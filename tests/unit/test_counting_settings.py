"""How far counting is supposed to be out, from the settings."""

from decimal import Decimal

import pytest

from pipelines.errors import SettingsError
from pipelines.setting_counting import Counting
from pipelines.settings import read_settings


def _read(tmp_path, text):
    file = tmp_path / "settings.toml"
    file.write_text(f'firm = "Test Roofs"\n{text}', encoding="utf-8")
    return read_settings(file).counting


def test_without_a_word_the_supposed_errors_hold(tmp_path):
    assert _read(tmp_path, "") == Counting(Decimal("0.5"), Decimal("0.1"), Decimal(25))


def test_what_is_set_stands_and_the_rest_is_supposed(tmp_path):
    found = _read(tmp_path, "[counting]\nweighing_error_kg = 0.2\ncount_floor_gbp = 0\n")

    assert found == Counting(Decimal("0.2"), Decimal("0.1"), Decimal(0))


@pytest.mark.parametrize("line", ["judged_error_ratio = -0.1", "weighing_kg = 1"])
def test_an_error_below_nothing_or_an_unknown_key_is_refused(tmp_path, line):
    with pytest.raises(SettingsError, match="counting"):
        _read(tmp_path, f"[counting]\n{line}\n")
