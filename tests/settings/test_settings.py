"""ohmhours.toml: what is written is read back; what is wrong is refused by its key."""

from datetime import date
from math import inf
from pathlib import Path

import pytest

from dashboard.pricing.price import Slab, marked_up
from dashboard.settings.file import FILE, SETTINGS, SettingsError, read_settings, write_settings


def test_without_a_file_every_setting_has_its_default(tmp_path: Path):
    assert read_settings(tmp_path) == {setting.key: setting.default for setting in SETTINGS}


def test_every_default_is_a_value_that_the_setting_itself_accepts():
    for setting in SETTINGS:
        assert setting.check(setting.default, "default") == setting.default, setting.key


def test_what_is_written_is_read_back(tmp_path: Path):
    chosen = {
        "as_of": date(2026, 10, 31),
        "wage_per_hour": 41.5,
        "warranty_days": 365,
        "parts_slabs": ((20.0, 2.5), (inf, 1.4)),
        "service_volts": {'Mill "Lane"': 208, "Harbour Street": 240},
        "van_slots": 80,
    }
    write_settings(tmp_path, chosen)
    found = read_settings(tmp_path)
    assert {key: found[key] for key in chosen} == chosen
    assert found["min_jobs"] == 20
    assert "fraction" not in (tmp_path / FILE).read_text(encoding="utf-8")  # only what was chosen


def test_writing_one_key_keeps_the_others(tmp_path: Path):
    (tmp_path / FILE).write_text("min_jobs = 5\nburden_rate = 0.4\n", encoding="utf-8")
    write_settings(tmp_path, {"burden_rate": 0.3})
    found = read_settings(tmp_path)
    assert (found["min_jobs"], found["burden_rate"]) == (5, 0.3)


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("wage_per_hour", "32"),
        ("wage_per_hour", True),
        ("wage_per_hour", float("nan")),
        ("wage_per_hour", -1),
        ("target_margin", 1.0),  # a price cannot be all margin
        ("billable_share", 58),  # per cent where a fraction is wanted
        ("warranty_days", 30.5),
        ("as_of", "2026-10-31"),
        ("parts_slabs", 1.5),
        ("parts_slabs", [[10, 3.0]]),  # nothing said of dearer parts
        ("parts_slabs", [[50, 2.0], [10, 3.0], [inf, 1.5]]),
        ("parts_slabs", [[10, 3.0], [inf, 0.9]]),  # sells under cost
        ("parts_slabs", [[10, "3"], [inf, 2]]),
    ],
)
def test_a_wrong_value_is_refused_by_name_and_changes_nothing(tmp_path: Path, key: str, value):
    write_settings(tmp_path, {"min_jobs": 7})
    before = (tmp_path / FILE).read_bytes()
    with pytest.raises(SettingsError, match=key):
        write_settings(tmp_path, {key: value})
    assert (tmp_path / FILE).read_bytes() == before
    assert [path.name for path in tmp_path.iterdir()] == [FILE]


def test_an_unknown_key_is_refused_by_name(tmp_path: Path):
    with pytest.raises(SettingsError, match="wages"):
        write_settings(tmp_path, {"wages": 32})
    assert not (tmp_path / FILE).exists()
    (tmp_path / FILE).write_text("wages = 32\n", encoding="utf-8")
    with pytest.raises(SettingsError, match="wages"):
        read_settings(tmp_path)


def test_the_default_slabs_are_the_worked_example_of_the_trade():
    """A part of 45 sells at 100, one of 150 at 270: common practice, no source."""
    slabs = [Slab(*pair) for pair in read_settings(Path("nowhere"))["parts_slabs"]]
    assert (marked_up(45, slabs), marked_up(150, slabs)) == (100, 270)


def test_comments_of_the_owner_survive_a_change(tmp_path: Path):
    text = """# our shop
wage_per_hour = 30  # since May
shop_name = "Elm Street" # dollars

# by branch, from the meters
[service_volts]
North = 208  # three-phase
"""
    (tmp_path / FILE).write_text(text, encoding="utf-8")
    write_settings(tmp_path, {"wage_per_hour": 34, "callback_window_days": 60})
    written = (tmp_path / FILE).read_text(encoding="utf-8")
    for comment in ("# our shop", "# since May", "# dollars", "# by branch", "# three-phase"):
        assert comment in written
    read = read_settings(tmp_path)
    assert (read["wage_per_hour"], read["callback_window_days"]) == (34, 60)
    assert read["service_volts"] == {"North": 208}
    write_settings(tmp_path, {"service_volts": 240})
    assert read_settings(tmp_path)["service_volts"] == 240
    assert "# since May" in (tmp_path / FILE).read_text(encoding="utf-8")
