"""Each SQL measure gives what a slow plain-Python count gives, on random shops."""

from itertools import combinations

import pandas as pd
import pytest
from hypothesis import HealthCheck, given, settings, strategies

from dashboard.callbacks import link_sentences as link_words
from dashboard.database.labels import Labels
from dashboard.fairness.early_parts import early_parts
from tests.measures import slow_counts
from tests.measures.random_shop import Job, RandomShop, shops

WINDOWS = strategies.sampled_from([0, 30, 60, 365])
pytestmark = pytest.mark.slow  # dozens of shops each
twin = settings(
    max_examples=30,
    deadline=None,
    derandomize=True,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)


@pytest.fixture(scope="module")
def database() -> RandomShop:
    """One in-memory database for all shops."""
    return RandomShop()


@twin
@given(jobs=shops(), window_days=WINDOWS)
def test_rates_and_their_counts(database: RandomShop, jobs: list[Job], window_days: int):
    database.fill(jobs)
    rows = database.rows("measures/first_time_fix", window_days=window_days)
    wanted = slow_counts.first_time_fix(jobs, window_days)
    assert bool(rows) == (wanted["repaired"] > 0)
    for row in rows:
        assert {key: row[key] for key in wanted} == wanted
    wanted = slow_counts.callbacks(jobs, window_days)
    for row in database.rows("measures/callbacks", window_days=window_days):
        assert {key: row[key] for key in wanted} == wanted
    (row,) = database.rows("pages/any_call", window_days=window_days)
    wanted_calls = slow_counts.any_call(jobs, window_days)
    assert {key: row[key] for key in wanted_calls} == wanted_calls
    assert row["any_call"] >= wanted["callbacks_in_window"]  # it is an upper bound


@twin
@given(jobs=shops())
def test_links_and_final_causes(database: RandomShop, jobs: list[Job]):
    database.fill(jobs)
    found = {
        job_id: (first_job, days)
        for job_id, first_job, days in database.connection.execute(
            "SELECT callback_job, first_job, callback_days FROM core.callback_links"
        ).fetchall()
    }
    links = {job.job_id: slow_counts.link_of(job, jobs) for job in jobs}
    assert found == {name: (link[0].job_id, link[1]) for name, link in links.items() if link}
    final = dict(
        database.connection.execute("SELECT job_id, final_component FROM core.job_facts").fetchall()
    )
    assert final == {job.job_id: slow_counts.final_component(job, jobs) for job in jobs}


@twin
@given(jobs=shops(), window_days=WINDOWS)
def test_expected_fixes_by_technician(database: RandomShop, jobs: list[Job], window_days: int):
    database.fill(jobs)
    parameters = {"window_days": window_days, "group_by": "technician"}
    for row in database.rows("measures/first_time_fix", **parameters):
        wanted = slow_counts.expected_fixes(jobs, window_days, row["group"])
        assert (row["expected"] or 0) == pytest.approx(wanted, abs=1e-9)


@twin
@given(jobs=shops())
def test_the_curve(database: RandomShop, jobs: list[Job]):
    database.fill(jobs)
    found = {row["day"]: row["free"] for row in database.rows("measures/callback_curve")}
    assert found == pytest.approx(slow_counts.curve(jobs), abs=1e-12)


@twin
@given(jobs=shops(), window_days=WINDOWS)
def test_months(database: RandomShop, jobs: list[Job], window_days: int):
    database.fill(jobs)
    found = {
        row["month"]: (row["mature"], row["fixed_first_time"], row["pending"])
        for row in database.rows("measures/month_signals", window_days=window_days)
    }
    assert found == slow_counts.months(jobs, window_days)


@twin
@given(jobs=shops())
def test_repeat_visits(database: RandomShop, jobs: list[Job]):
    database.fill(jobs)
    rows = database.rows("measures/repeat_visits", labour_per_hour=60)
    found = {row["reason"]: (row["visits"], row["timed_visits"], row["travel_min"]) for row in rows}
    assert found == slow_counts.repeat_visits(jobs)
    assert sum(row["share"] for row in rows) == pytest.approx(1 if rows else 0)
    for row in rows:  # at 60 an hour a minute costs 1
        assert row["cost_low"] == row["travel_min"]


@twin
@given(jobs=shops(), window_days=WINDOWS)
def test_parts(database: RandomShop, jobs: list[Job], window_days: int):
    database.fill(jobs)
    rows = early_parts(pd.DataFrame(database.rows("measures/early_parts", window_days=window_days)))
    found = {
        (row.appliance_kind, row.part_no): (row.jobs, row.callbacks) for row in rows.itertuples()
    }
    wanted = slow_counts.parts(jobs, window_days)
    assert found == wanted
    for row in rows.itertuples():  # all parts are pumps: the yardstick is the kind's other numbers
        others = [
            v for k, v in wanted.items() if k[0] == row.appliance_kind and k[1] != row.part_no
        ]
        assert row.other_jobs == sum(fitted for fitted, _ in others)
        assert row.other_callbacks == sum(back for _, back in others)


@twin
@given(jobs=shops())
def test_the_conditions_shown_hold_exactly_when_two_jobs_are_linked(
    database: RandomShop, jobs: list[Job]
):
    """Every pair of up to eight jobs; what the page says is what the definitions say."""
    database.fill(jobs)
    labels = Labels(pd.DataFrame(database.rows("pages/labels")))
    for first, second in combinations(jobs[:8], 2):
        parameters = {"first_job": first.job_id, "second_job": second.job_id}
        (row,) = database.rows("pages/link_check", **parameters)
        pair = pd.Series(row, dtype=object)
        by_number = {job.job_id: job for job in jobs}
        link = slow_counts.link_of(by_number[pair.later_job], jobs)
        is_linked = link is not None and link[0].job_id == pair.earlier_job
        sentence = link_words.verdict(pair, labels, 30)
        assert ("**is a callback**" in sentence) == is_linked
        if not pair.is_explicit:
            holds = all(is_met for _, is_met, _ in link_words.conditions(pair, labels))
            assert holds == is_linked
