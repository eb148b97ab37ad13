"""A measure is computed once for each version and question, and a caller cannot spoil it."""

import shutil
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from dashboard import measures
from dashboard.database import connection as connections
from dashboard.database import query
from dashboard.database import version as versions
from dashboard.database.labels import read_labels
from dashboard.database.snapshot import take
from etl.folder.versions import earlier
from etl.load import load
from tests import ask
from tests.ask import measure
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one
Z      | 2026-06-01 | 2026-06-02 | washer         | leaks   | cancelled   | two
"""


def test_the_same_question_is_computed_once(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    before = measures._computed.computed
    first, second = (measure(folder, "early_parts") for _ in range(2))
    assert first.equals(second)
    assert measures._computed.computed == before + 1


def test_another_window_or_setting_is_another_question(tmp_path: Path):
    folder = shop(tmp_path, jobs=JOBS)
    assert measure(folder, "callbacks", window_days=30).iloc[0].mature == 1
    assert measure(folder, "callbacks", window_days=365).iloc[0].mature == 0
    (folder / "ohmhours.toml").write_text("callback_window_days = 365\n", encoding="utf-8")
    assert measure(folder, "callbacks").iloc[0].mature == 0


def test_a_new_version_is_not_answered_from_the_cache(tmp_path: Path):
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


def test_many_threads_that_meet_a_new_version_at_once_all_get_its_rows(sample_shop: Path, tmp_path):
    """Pages run in threads; a version was opened twice then, and its second opening refused."""
    for number in range(5):
        folder = tmp_path / str(number)
        folder.mkdir()
        shutil.copyfile(versions.version(sample_shop), folder / "warehouse-000001-x.duckdb")
        with ThreadPoolExecutor(12) as threads:
            asked = [threads.submit(ask.run, folder, "pages/dataset") for _ in range(12)]
            assert [len(each.result()) for each in asked] == [1] * 12


def test_a_version_that_a_query_holds_open_can_be_opened_again(sample_shop: Path, tmp_path: Path):
    """Two newer versions pushed it out meanwhile, and the last good version is asked for again."""
    path = tmp_path / "warehouse-000001-x.duckdb"
    shutil.copyfile(versions.version(sample_shop), path)
    held = connections.connection(path).cursor()
    connections.connection.cache_clear()
    assert len(ask.run(tmp_path, "pages/dataset")) == 1
    held.close()


def test_answers_of_versions_before_the_last_are_let_go(tmp_path: Path):
    """A server that runs for months meets a version a day: it must not hold them all."""
    for job in "ABC":
        folder = shop(tmp_path, jobs=JOBS.replace("A ", f"{job} "))
        measure(folder, "callbacks")
    answered = {snapshot.version for snapshot, *_ in measures._computed.cache}
    held = [versions.version(folder), *earlier(folder)][: connections.VERSIONS_HELD]
    assert answered == set(held)
    assert {path for path, *_ in query._rows.cache} == set(held)


def test_the_labels_are_read_once_for_all_pages(sample_shop: Path):
    assert read_labels(take(sample_shop)) is read_labels(take(sample_shop))
