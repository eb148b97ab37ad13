"""The pages on fixes, callbacks, months and repeat visits, in every grouping and on thin shops."""

import json
from pathlib import Path

import pytest

from dashboard.ui.group_table import GROUP_TITLES
from tests.ask import run
from tests.shop_builder import shop
from tests.test_pages import check, opened, texts

NO_RETURN = {
    "jobs": """
    job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer | technician
    A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one      | Ann
    B      | 2026-01-03 | 2026-01-04 | dishwasher     | leaks   | repaired    | two      | Bob
    END    | 2026-06-01 | 2026-06-01 | washer         | leaks   | cancelled   | none     | Bob
    """,
    "visits": """
    job_id | visit_no | technician | outcome
    A      | 1        | Ann        | completed
    B      | 1        | Bob        | completed
    """,
    "part_lines": """
    job_id | visit_no | part_no | component  | quantity
    A      | 1        | P1      | drain_pump | 1
    """,
}


@pytest.fixture(scope="module")
def no_return(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Two repairs, both fixed the first time: every rate is 1, nothing to distinguish."""
    return shop(tmp_path_factory.mktemp("calm"), **NO_RETURN)


def figure(app, key: str) -> dict:
    """Return the figure of a chart as drawn."""
    charts = [c.proto for c in app.get("plotly_chart")]
    (spec,) = [c.spec for c in charts if key in c.id]
    return json.loads(spec)


@pytest.mark.parametrize("page", ["first_time_fix", "callbacks", "month", "repeat_visits"])
def test_a_shop_where_nothing_came_back_has_its_pages(page, no_return, monkeypatch):
    check(opened(page, no_return, monkeypatch))


@pytest.mark.slow
@pytest.mark.parametrize("group_by", GROUP_TITLES)
@pytest.mark.parametrize("page", ["first_time_fix", "callbacks"])
def test_every_grouping_has_an_answer(page, group_by, sample_shop, monkeypatch):
    app = opened(page, sample_shop, monkeypatch)
    app.segmented_control(key="by").set_value(group_by).run()
    check(app)


def test_verdicts_on_groups_are_in_the_words_of_chance(sample_shop, monkeypatch):
    shown = texts(opened("first_time_fix", sample_shop, monkeypatch))
    assert "within the normal range" in shown
    assert "Checked appliance by appliance" in shown


def test_the_funnel_has_both_pairs_of_limits(sample_shop, monkeypatch):
    drawn = figure(opened("first_time_fix", sample_shop, monkeypatch), "funnel")
    names = [trace["name"] for trace in drawn["data"]]
    assert names[:4] == ["normal range, 99.8%"] * 2 + ["normal range, 95%"] * 2


def test_dispositions_are_written_in_words(sample_shop, monkeypatch):
    app = opened("first_time_fix", sample_shop, monkeypatch)
    labels = [label for table in app.dataframe for label in table.value.get("reason_label", [])]
    assert "Beyond repair" in labels
    assert "No fault found" in labels
    assert not [label for label in labels if "_" in str(label)]


def test_the_early_part_is_named_at_every_window(sample_shop, monkeypatch):
    app = opened("callbacks", sample_shop, monkeypatch)
    for window in (30, 60, 90):
        app.segmented_control(key="window").set_value(window).run()
        check(app)
        assert "**DZ8842-E** (" in texts(app)
        assert f"within {window} days" in texts(app)


def test_two_typed_jobs_are_explained(sample_shop, monkeypatch):
    jobs = run(sample_shop, "pages/counted_jobs", which="came_back")
    app = opened("callbacks", sample_shop, monkeypatch)
    first = run(sample_shop, "pages/jobs").set_index("job_id").loc[jobs["job_id"].iloc[0]]
    earlier, later = str(jobs["job_id"].iloc[0]), str(first.callback_job)
    app.text_input(key="first_job").set_value(f" {later} ")
    app.text_input(key="second_job").set_value(earlier).run()
    check(app)
    assert f"Job {later} **is a callback** of job {earlier}" in texts(app)
    app.text_input(key="second_job").set_value(later).run()
    assert "the same job twice" in texts(app)
    app.text_input(key="second_job").set_value("no such job").run()
    assert "not among the loaded jobs" in texts(app)


def test_the_upper_bound_is_shown_next_to_the_rate(sample_shop, monkeypatch):
    shown = texts(opened("callbacks", sample_shop, monkeypatch))
    assert "At most: " in shown
    assert "log-rank test" in shown


def test_repeat_visits_show_their_minutes_and_money(sample_shop, monkeypatch):
    shown = texts(opened("repeat_visits", sample_shop, monkeypatch))
    assert " h on the road" in shown
    assert "at most" in shown
