"""Why two jobs are linked or not, and the upper bound of any later call."""

from pathlib import Path

import pytest

from dashboard.callbacks.link_sentences import conditions, verdict
from dashboard.database.labels import Labels
from tests.ask import run
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer | callback_of
A      | 2025-01-01 | 2025-01-02 | washer         | leaks   | repaired    | one      |
SAME   | 2025-01-02 | 2025-01-03 | washer         | leaks   | repaired    | one      |
LATE   | 2025-01-20 | 2025-01-21 | washer         | leaks   | declined    | one      |
NOISE  | 2025-01-22 | 2025-01-23 | washer         | noisy   | declined    | one      |
OFF    | 2025-01-24 | 2025-01-24 | washer         | leaks   | cancelled   | one      |
SAID   | 2025-02-20 | 2025-02-21 | dishwasher     | leaks   | declined    | two      | A
LOST   | 2025-01-05 | 2025-01-06 | washer         | leaks   | declined    |          |
YEAR   | 2026-01-03 | 2026-01-04 | washer         | leaks   | repaired    | five     |
P      | 2025-01-01 | 2025-01-03 | washer         | leaks   | repaired    | five     |
Q      | 2025-01-01 | 2025-01-02 | washer         | leaks   | repaired    | six      |
R      | 2026-01-03 | 2026-01-04 | washer         | leaks   | declined    | six      |
M      | 2025-03-01 | 2025-03-02 | washer         | maintenance | repaired | one     |
END    | 2026-06-01 | 2026-06-01 | washer         | leaks   | cancelled   | none     |
"""


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """One washer with a chain of calls, and pairs that differ in one condition each."""
    return shop(tmp_path_factory.mktemp("links"), jobs=JOBS)


@pytest.fixture(scope="module")
def labels(drawn: Path) -> Labels:
    """The labels of the drawn shop."""
    return Labels(run(drawn, "pages/labels"))


def verdict_on(drawn: Path, labels: Labels, first: str, second: str) -> str:
    """Return the verdict on two jobs, within 30 days."""
    pair = run(drawn, "pages/link_check", first_job=first, second_job=second).iloc[0]
    return verdict(pair, labels, 30)


def test_a_call_on_the_day_of_closing_is_a_callback(drawn, labels):
    sentence = verdict_on(drawn, labels, "A", "SAME")
    assert sentence.startswith("Job SAME **is a callback** of job A: every condition holds.")
    assert "after 0 days and counts within 30 days" in sentence


def test_the_order_of_typing_does_not_matter(drawn, labels):
    assert verdict_on(drawn, labels, "SAME", "A") == verdict_on(drawn, labels, "A", "SAME")


@pytest.mark.parametrize(
    ("second", "reason"),
    [
        ("LATE", "no other repair of it closed later"),  # it returns to SAME
        ("NOISE", "the same family of complaints"),
        ("OFF", "the later job was not cancelled"),
        ("LOST", "the same appliance"),
        ("M", "the same family of complaints"),
    ],
)
def test_what_is_lacking_is_named(drawn, labels, second: str, reason: str):
    sentence = verdict_on(drawn, labels, "A", second)
    assert f"Job {second} is **not** a callback of job A. What does not hold: " in sentence
    assert reason in sentence


def test_an_explicit_callback_counts_whatever_else(drawn, labels):
    sentence = verdict_on(drawn, labels, "A", "SAID")
    assert "**is a callback** of job A: the records say so" in sentence
    assert "after 49 days and does not count within 30 days" in sentence


def test_the_365th_day_links_and_the_366th_does_not(drawn, labels):
    assert "**is a callback**" in verdict_on(drawn, labels, "P", "YEAR")  # 2025-01-03 + 365 days
    assert "no more than 365 days later" in verdict_on(drawn, labels, "Q", "R")  # 366 days


def test_an_unknown_unit_is_not_known_rather_than_another(drawn, labels):
    pair = run(drawn, "pages/link_check", first_job="A", second_job="LOST").iloc[0]
    holds = {name: is_met for name, is_met, _ in conditions(pair, labels)}
    assert holds["the same appliance"] is None


def test_an_unknown_job_number_gives_nothing(drawn):
    assert run(drawn, "pages/link_check", first_job="A", second_job="nowhere").empty
    assert run(drawn, "pages/link_check", first_job="A", second_job="A").empty


def test_any_later_call_is_the_upper_bound(drawn):
    """Within 30 days: A has SAME, SAME has LATE; M, P, Q, YEAR have none. M is no complaint."""
    row = run(drawn, "pages/any_call", window_days=30).iloc[0]
    assert (row.mature, row.any_call) == (5, 2)  # A, SAME, P, Q, YEAR
    assert row.often_back == 1  # SAME returns to A, LATE to SAME


def test_another_family_is_in_the_upper_bound_only(tmp_path: Path):
    jobs = """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
    A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one
    B      | 2026-02-01 | 2026-02-01 | washer         | noisy   | declined    | one
    END    | 2026-06-01 | 2026-06-01 | washer         | leaks   | cancelled   | none
    """
    folder = shop(tmp_path, jobs=jobs)
    assert run(folder, "pages/any_call", window_days=30).iloc[0].any_call == 1  # the 30th day
    assert run(folder, "pages/any_call", window_days=29).iloc[0].any_call == 0
    assert run(folder, "measures/callbacks", window_days=30).iloc[0].callbacks_in_window == 0
