"""What a first reader would wait for is done in the background: nothing is left to compute."""

import asyncio
import logging
from collections.abc import Callable
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from threading import Event

import pytest

from dashboard import measures
from dashboard.database import admission, query
from dashboard.database import version as versions
from dashboard.pricing import repair_prices
from dashboard.server import warm_up
from dashboard.server import warm_up_queries as first_questions
from dashboard.settings.file import DATABASE
from dashboard.van_stock import contents as van_contents
from tests import ask
from tests.browser.conftest import AS_SERVED, serving
from tests.shop_builder import shop
from tests.test_pages import check, opened

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition
A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired
"""


@pytest.fixture
def warm_shop(sample_shop, monkeypatch) -> Path:
    """The sample shop after every first question was asked."""
    monkeypatch.setenv(DATABASE, str(sample_shop))
    for _, question in first_questions.questions(sample_shop):
        question()
    return sample_shop


COMPUTED = [
    "month",
    "mix_ups",
    "power_of_tests",
    "order_of_tests",
    "limit_review",
    "meter_check",
]


@pytest.mark.parametrize("page", COMPUTED)
def test_a_page_opened_first_finds_its_measures_computed(page, warm_shop, monkeypatch):
    computed = measures._computed.computed
    check(opened(page, warm_shop, monkeypatch))
    assert measures._computed.computed == computed


@pytest.mark.parametrize(
    ("page", "module", "step"),
    [("flat_rate", repair_prices, "repairs"), ("van_stock", van_contents, "proposed")],
)
def test_a_page_that_goes_by_the_rows_finds_its_tables(page, module, step, warm_shop, monkeypatch):
    monkeypatch.setattr(module, step, None)  # cannot be called
    check(opened(page, warm_shop, monkeypatch))


@pytest.mark.parametrize("page", ["month", "flat_rate"])
def test_a_branch_chosen_first_is_found_computed(page, warm_shop, monkeypatch):
    branch = ask.run(warm_shop, "pages/choices").query("filter == 'branch'")["value"].iloc[0]
    computed = query._rows.computed
    monkeypatch.setattr(repair_prices, "repairs", None)  # cannot be called
    check(opened(page, warm_shop, monkeypatch, branch=branch))
    allowed = {"flat_rate": 1}  # what declined diagnoses cost is one quick query
    assert query._rows.computed - computed <= allowed.get(page, 0)


def test_where_branches_are_many_none_is_made_ready(warm_shop, monkeypatch):
    names = [name for name, _ in first_questions.questions(warm_shop)]
    monkeypatch.setattr(first_questions, "MOST_BRANCHES", 1)
    fewer = [name for name, _ in first_questions.questions(warm_shop)]
    assert names == fewer + ["month", "flat_rate"] * 2


def test_a_shop_with_nothing_to_say_is_asked_without_a_failure(tmp_path, monkeypatch, caplog):
    folder = shop(tmp_path, jobs=JOBS)
    monkeypatch.setenv(DATABASE, str(folder))
    warm_up.compute(first_questions.questions(folder), Event())
    assert caplog.messages == []


def test_a_question_that_fails_is_logged_and_the_next_one_asked(caplog):
    asked = []

    def fail() -> None:
        raise ValueError("no such table")

    with caplog.at_level(logging.WARNING):
        warm_up.compute([("month", fail), ("callbacks", lambda: asked.append(1))], Event())
    (record,) = caplog.records  # its text depends on whether the server writes one line of it
    assert record.name == warm_up.log.name
    assert asked == [1]


def test_no_question_is_asked_while_a_page_is_drawn():
    asked, stopped = [], Event()
    questions = [("month", lambda: asked.append("month"))]
    with ThreadPoolExecutor(1) as pool:
        with admission.RUNS.running():
            made_ready = pool.submit(warm_up.compute, questions, stopped)
            with pytest.raises(TimeoutError):
                made_ready.result(10 * warm_up.REST_S)
            asked.append("page")
        made_ready.result()
    assert asked == ["page", "month"]


def test_a_server_where_somebody_always_reads_is_made_ready_all_the_same(monkeypatch):
    monkeypatch.setattr(warm_up, "PATIENCE_S", 0.01)
    asked = []
    with admission.RUNS.running():
        warm_up.compute([("month", lambda: asked.append(1))], Event())
    assert asked == [1]


def test_no_question_is_asked_once_the_server_stops():
    stopped, asked = Event(), []
    stopped.set()
    warm_up.compute([("month", lambda: asked.append(1))], stopped)
    assert asked == []


def test_every_published_version_is_made_ready_and_only_once(tmp_path, monkeypatch):
    """The thread also waits where nothing was loaded yet, and ends with the server."""
    asked, folder = [], tmp_path / "db"
    monkeypatch.setenv(DATABASE, str(folder))
    monkeypatch.setattr(warm_up, "LOOK_EVERY_S", 0.01)
    monkeypatch.setattr(warm_up, "_spare_the_collector", lambda: None)
    monkeypatch.setattr(
        first_questions, "questions", lambda of: asked.append(versions.version(of)) or []
    )

    async def served() -> None:
        async with warm_up.kept_warm(None):
            await asyncio.sleep(0.1)
            assert asked == []
            for number, job in enumerate("AB", start=1):
                await asyncio.to_thread(shop, tmp_path, jobs=JOBS.replace("A", job))
                await _until(lambda so_far=number: len(asked) >= so_far)

    with ThreadPoolExecutor(1) as pool:  # the browser tests keep a loop running in this thread
        pool.submit(asyncio.run, served()).result()
    assert len(asked) == len(set(asked)) == 2
    assert asked[-1] == versions.version(folder)


async def _until(happened: Callable[[], bool]) -> None:
    async with asyncio.timeout(30):
        while not happened():
            await asyncio.sleep(0.01)


def test_the_pages_of_this_machine_answer_while_they_are_made_ready(tmp_path):
    with serving(shop(tmp_path, jobs=JOBS), AS_SERVED) as (url, process):
        assert url.startswith("http://127.0.0.1:")
        assert process.poll() is None
