"""Saving what the records are judged by and rebuilding are one action with one truthful message."""

from datetime import date
from pathlib import Path

import pytest
from streamlit.testing.v1 import AppTest

from dashboard.errors import UserError
from dashboard.loading.rebuild import save_and_rebuild
from dashboard.settings.file import DATABASE, read_settings
from etl.folder.versions import current
from etl.folder.writer_lock import only_writer
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition
A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired
"""
DAY = date(2026, 5, 1)
APP = Path(__file__).parents[2] / "dashboard" / "app.py"


def test_a_saved_setting_is_in_the_published_version(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    before = current(folder)
    save_and_rebuild(folder, {"as_of": DAY})
    assert read_settings(folder)["as_of"] == DAY
    assert current(folder) != before


def test_before_the_first_load_the_setting_alone_is_saved(tmp_path: Path):
    save_and_rebuild(tmp_path, {"as_of": DAY})
    assert read_settings(tmp_path)["as_of"] == DAY
    assert current(tmp_path) is None


def test_nothing_is_saved_while_another_load_runs(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    with only_writer(folder), pytest.raises(UserError):
        save_and_rebuild(folder, {"as_of": DAY})
    assert read_settings(folder)["as_of"] is None


def test_no_version_is_published_when_the_setting_cannot_be_written(tmp_path: Path, monkeypatch):
    folder = shop(tmp_path, jobs=JOBS)
    before = current(folder)

    def fails(*_):
        raise UserError("no place")

    monkeypatch.setattr("dashboard.loading.rebuild.write_settings", fails)
    with pytest.raises(UserError, match="no place"):
        save_and_rebuild(folder, {"as_of": DAY})
    assert current(folder) == before


def settings_page(folder: Path, monkeypatch: pytest.MonkeyPatch) -> AppTest:
    """Open the settings, choose a day and press the button."""
    monkeypatch.setenv(DATABASE, str(folder))
    app = AppTest.from_file(str(APP), default_timeout=60).run()
    app.switch_page("views/settings.py").run()
    app.date_input(key="setting_as_of").set_value(DAY)
    (button,) = [each for each in app.button if each.label == "Save and rebuild"]
    return button.click().run()


def test_the_page_says_not_saved_only_when_nothing_was_saved(tmp_path: Path, monkeypatch):
    folder = shop(tmp_path, jobs=JOBS)
    with only_writer(folder):
        app = settings_page(folder, monkeypatch)
    assert any("Not saved" in error.value for error in app.error)
    assert read_settings(folder)["as_of"] is None


def test_a_damaged_version_gives_one_line_on_the_page(tmp_path: Path, monkeypatch):
    folder = shop(tmp_path, jobs=JOBS)
    current(folder).write_bytes(b"damaged")
    app = settings_page(folder, monkeypatch)
    assert not app.exception
    assert any("ohmhours restore FILE" in error.value for error in app.error)
    assert read_settings(folder)["as_of"] is None
