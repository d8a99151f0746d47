"""Settings of the costing: listed words and shares, else an error that says what is allowed."""

from decimal import Decimal

import pytest

from pipelines.errors import SettingsError
from pipelines.settings import read_settings


def _settings(tmp_path, line):
    file = tmp_path / "settings.toml"
    file.write_text(f'firm = "Two Ladders Roofing"\n{line}\n', encoding="utf-8")
    return read_settings(file)


@pytest.mark.parametrize(
    ("line", "carriage", "share"),
    [
        ("", "landed", "0.5"),
        ('carriage = "own line"', "own line", "0.5"),
        ('reuse_share = "0"', "landed", "0"),
        ("reuse_share = 1", "landed", "1"),
    ],
)
def test_carriage_and_the_share_used_again(tmp_path, line, carriage, share):
    settings = _settings(tmp_path, line)

    assert (settings.carriage, settings.reuse_share) == (carriage, Decimal(share))


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ('carriage = "none"', "'carriage' is 'none'; it must be one of: landed, own line"),
        ("reuse_share = 1.1", "'reuse_share' is 1.1; it must lie in 0 to 1"),
        ("reuse_share = -0.1", "'reuse_share' is -0.1; it must lie in 0 to 1"),
    ],
)
def test_what_cannot_be_is_refused(tmp_path, line, says):
    with pytest.raises(SettingsError, match=says):
        _settings(tmp_path, line)
