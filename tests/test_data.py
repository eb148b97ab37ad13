"""A measure is reckoned once for each version and question, and a caller cannot spoil it."""

from pathlib import Path

from dashboard import data
from dashboard.data import measure
from etl.build import load
from tests.drawn import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one
Z      | 2026-06-01 | 2026-06-02 | washer         | leaks   | cancelled   | two
"""


def test_the_same_question_is_reckoned_once(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    before = data._finished.cache_info().misses
    first, second = (measure(folder, "early_parts") for _ in range(2))
    assert first.equals(second)
    assert data._finished.cache_info().misses == before + 1


def test_another_window_or_setting_is_another_question(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    assert measure(folder, "callbacks", window_days=30).iloc[0].mature == 1
    assert measure(folder, "callbacks", window_days=365).iloc[0].mature == 0
    (folder / "ohmhours.toml").write_text("callback_window_days = 365\n", encoding="utf-8")
    assert measure(folder, "callbacks").iloc[0].mature == 0


def test_a_new_version_is_answered_anew(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    assert measure(folder, "callbacks").iloc[0].repaired == 1
    later = tmp_path / "later.csv"
    later.write_text(
        "job_id,opened_on,closed_on,appliance_kind,symptom,disposition,customer\n"
        "B,2026-02-01,2026-02-02,washer,leaks,repaired,three\n",
        encoding="utf-8",
    )
    load([later], folder)
    assert measure(folder, "callbacks").iloc[0].repaired == 2


def test_what_a_caller_does_to_its_table_stays_with_it(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    own = measure(folder, "callbacks")
    own["repaired"] = 99
    assert measure(folder, "callbacks").iloc[0].repaired == 1
