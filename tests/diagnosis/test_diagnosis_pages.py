"""The pages of diagnosis say their answer in words and lead from a number to its jobs."""

from pathlib import Path

import pytest

from dashboard.evidence.patterns import HABITS
from sample_data.shop import GUESSING_TECHNICIAN
from tests.diagnosis.drawn_jobs import washers
from tests.test_pages import check, opened, texts


def test_misdiagnosis_says_its_lower_bound_every_habit_and_links_to_jobs(sample_shop, monkeypatch):
    app = opened("misdiagnosis", sample_shop, monkeypatch)
    check(app)
    shown = texts(app)
    assert "lower bound" in shown
    for habit in HABITS.values():
        assert habit.name in shown
    jobs = app.dataframe[-1].value
    assert jobs["job_id"].str.startswith("/job?job=").all()


def test_misdiagnosis_groups_stand_in_alphabetical_order(sample_shop: Path, monkeypatch):
    groups = opened("misdiagnosis", sample_shop, monkeypatch).dataframe[0].value
    assert list(groups["label"]) == sorted(groups["label"])


def test_choosing_a_part_shows_it_by_technician(sample_shop: Path, monkeypatch):
    app = opened("misdiagnosis", sample_shop, monkeypatch)
    app.selectbox(key="part").select("control_board").run()
    check(app)
    rows = app.dataframe[1].value.set_index("label")
    assert rows.loc[GUESSING_TECHNICIAN, "verdict_words"] == "different from the shop"


def test_every_word_on_the_misdiagnosis_page_opens_to_its_readings(sample_shop, monkeypatch):
    app = opened("misdiagnosis", sample_shop, monkeypatch)
    app.segmented_control(key="pattern").set_value("against").run()
    assert "in 10 of these were right" in texts(app)
    app.selectbox(key="opened").select_index(0).run()
    check(app)
    assert "if the part is at fault" in texts(app)
    assert "Together ×" in texts(app)


def test_mix_ups_are_told_in_words_with_the_test_that_tells_them_apart(sample_shop, monkeypatch):
    shown = texts(opened("mix_ups", sample_shop, monkeypatch))
    assert "kappa" in shown
    assert "turned out to be" in shown
    assert "Test that separates them" in shown


def test_the_order_page_says_both_times_the_saving_and_where_they_part(sample_shop, monkeypatch):
    app = opened("order_of_tests", sample_shop, monkeypatch)
    app.selectbox(key="complaint").select("washer/wont_drain").run()
    check(app)
    shown = texts(app)
    assert "minutes less a job" in shown
    assert "They part at step 1" in shown
    assert "lock out" in shown
    assert app.get("download_button")


def test_a_live_step_of_the_card_stands_under_the_live_caution(sample_shop: Path, monkeypatch):
    app = opened("order_of_tests", sample_shop, monkeypatch)
    app.selectbox(key="complaint").select("dryer_electric/no_heat").run()
    assert any("Live test" in error.value for error in app.error)


def test_the_next_test_page_moves_with_the_readings(sample_shop: Path, monkeypatch):
    app = opened("what_to_test_next", sample_shop, monkeypatch)
    check(app)
    before = [text.value for text in app.markdown]
    app.slider(key="after").set_value(0).run()
    check(app)
    assert [text.value for text in app.markdown] != before
    assert "Nothing measured yet" in texts(app)


def test_own_readings_change_the_posterior(sample_shop: Path, monkeypatch):
    app = opened("what_to_test_next", sample_shop, monkeypatch)
    app.selectbox(key="complaint").select("washer/wont_drain").run()
    app.segmented_control(key="readings").set_value("Readings of your own").run()
    app.multiselect(key="outside").set_value(["washer_drain_pump_ohm"]).run()
    check(app)
    spec = app.get("plotly_chart")[0].proto.spec
    assert "Drain pump" in spec


def test_the_job_page_finds_a_job_and_says_when_there_is_none(sample_shop: Path, monkeypatch):
    app = opened("job", sample_shop, monkeypatch)
    app.text_input(key="job").set_value("20418").run()
    check(app)
    assert "Visit" in app.get("plotly_chart")[0].proto.spec
    app.text_input(key="job").set_value("no such").run()
    check(app)
    assert "No job" in app.warning[0].value


@pytest.mark.parametrize(
    "page", ["misdiagnosis", "mix_ups", "power_of_tests", "order_of_tests", "job"]
)
def test_a_shop_without_readings_hears_what_cannot_be_said(page: str, tmp_path: Path, monkeypatch):
    jobs = "A | 2026-01-01 | 2026-01-02 | washer | wont_drain | drain_pump_open | repaired | | Ann"
    app = opened(page, washers(tmp_path, jobs=jobs), monkeypatch)
    check(app)
    if page != "job":
        assert "annot be said" in texts(app)
