"""Temperatures are in the shop's unit: the setting, else what the currency of the records says."""

import pytest

from dashboard.database.snapshot import take
from dashboard.database.temperature_unit import unit_of
from dashboard.settings.file import SettingsError, read_settings, write_settings


@pytest.mark.parametrize(("chosen", "unit"), [("by currency", "F"), ("F", "F"), ("C", "C")])
def test_the_setting_decides(sample_shop, chosen: str, unit: str):
    settings = read_settings(sample_shop) | {"temperature_unit": chosen}
    assert unit_of(take(sample_shop, settings)) == unit


def test_another_unit_is_refused(tmp_path):
    with pytest.raises(SettingsError, match="temperature_unit"):
        write_settings(tmp_path, {"temperature_unit": "K"})
