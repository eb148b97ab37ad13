"""The pages of diagnosis say their answer in words and lead from a number to its jobs."""

import json
import re
from pathlib import Path

import pandas as pd
import pytest
from streamlit.testing.v1 import AppTest

from dashboard.evidence.patterns import HABITS
from dashboard.fairness.sentences import VERDICTS
from sample_data.shop import GUESSING_TECHNICIAN
from tests.ask import measure, run
from tests.diagnosis.drawn_jobs import washers
from tests.test_pages import check, opened, texts


def jobs_listed(app: AppTest) -> pd.DataFrame:
    """Return the list of jobs on a page: the first table with a column of job numbers."""
    return next(table.value for table in app.dataframe if "job_id" in table.value)


def test_misdiagnosis_opens_with_the_habit_that_stands_out_and_its_numbers(
    sample_shop, monkeypatch
):
    app = opened("misdiagnosis", sample_shop, monkeypatch)
    check(app)
    groups = measure(sample_shop, "misdiagnosis", pattern="not_tested", group_by="technician")
    planted = groups.set_index("group").loc[GUESSING_TECHNICIAN]
    wanted = (
        f"**Replaced without testing: one technician, {planted.with_pattern:.0f} of {planted.asked:.0f} "
        f"jobs, {planted.expected:.0f} expected**"
    )
    said = [text.value for text in app.markdown]
    assert wanted in said[1]
    assert GUESSING_TECHNICIAN not in said[1]  # a pattern is a reason to look at a job
    assert "lower bound" in texts(app)
    for habit in HABITS.values():
        assert habit.name in texts(app)


def test_misdiagnosis_lists_at_first_the_jobs_that_prove_the_point(sample_shop, monkeypatch):
    app = opened("misdiagnosis", sample_shop, monkeypatch)
    groups = measure(sample_shop, "misdiagnosis", pattern="not_tested", group_by="technician")
    planted = groups.set_index("group").loc[GUESSING_TECHNICIAN]
    jobs = jobs_listed(app)
    assert len(jobs) == planted.with_pattern
    assert jobs["replaced"].str.contains("not tested").all()
    assert not jobs["replaced"].str.contains("_").any()  # parts by their names


def test_where_nothing_can_be_compared_it_is_said_and_no_one_is_named(tmp_path: Path, monkeypatch):
    jobs = "A | 2026-01-01 | 2026-01-02 | washer | wont_drain | drain_pump_open | repaired | | Ann"
    app = opened("misdiagnosis", washers(tmp_path, jobs=jobs), monkeypatch)
    assert "no technician can be compared on any habit" in texts(app)


def test_the_costliest_parts_come_first(sample_shop: Path, monkeypatch):
    app = opened("misdiagnosis", sample_shop, monkeypatch)
    parts = next(t.value for t in app.dataframe if "untested" in t.value)
    costliest = run(sample_shop, "pages/diagnosis_parts").nlargest(1, "cost").iloc[0]
    assert parts["replaced"].iloc[0] == costliest.replaced
    assert list(parts["cost"].dropna()) == sorted(parts["cost"].dropna(), reverse=True)


def test_choosing_a_part_shows_it_by_technician(sample_shop: Path, monkeypatch):
    app = opened("misdiagnosis", sample_shop, monkeypatch)
    app.selectbox(key="part").select("control_board").run()
    check(app)
    tables = [t.value for t in app.dataframe if "untested" in t.value]
    rows = tables[0].set_index("label")
    assert rows.loc[GUESSING_TECHNICIAN, "verdict_words"] == VERDICTS["different"]


def test_a_job_opens_to_the_readings_behind_each_word(sample_shop, monkeypatch):
    app = opened("misdiagnosis", sample_shop, monkeypatch)
    app.segmented_control(key="pattern").set_value("against").run()
    assert "in 10 of these were right" in texts(app)
    job = str(jobs_listed(app)["job_id"].iloc[0])
    app = opened("job", sample_shop, monkeypatch)
    app.text_input(key="job").set_value(job).run()
    check(app)
    assert "if the part is at fault" in texts(app)
    assert "Together ×" in texts(app)


def test_mix_ups_are_a_table_of_all_pairs_and_kappa_is_a_detail(sample_shop, monkeypatch):
    app = opened("mix_ups", sample_shop, monkeypatch)
    pairs = measure(sample_shop, "mix_ups")
    wrong = pairs[pairs["first_component"] != pairs["final_component"]]
    listed = app.dataframe[0].value
    assert len(listed) == len(wrong)
    assert not listed["first"].str.contains("_").any()
    assert "Most frequent mix-up" in app.markdown[1].value
    assert "kappa" not in app.markdown[1].value
    assert "kappa" in texts(app)
    assert len(jobs_listed(app)) == wrong["jobs"].sum()


@pytest.mark.parametrize("place", [0, 3])
def test_the_jobs_of_a_mix_up_are_as_many_as_its_row_says(place: int, sample_shop, monkeypatch):
    app = opened("mix_ups", sample_shop, monkeypatch)
    chosen = app.selectbox(key="mix_up").options[place + 1]
    app.selectbox(key="mix_up").select(chosen).run()
    wanted = app.dataframe[0].value["found"].iloc[place].split(" of ")[0]
    assert len(jobs_listed(app)) == int(wanted)


def test_pages_of_mix_ups_and_tests_name_the_dangers(sample_shop: Path, monkeypatch):
    said = "\n".join(box.value for box in opened("mix_ups", sample_shop, monkeypatch).error)
    for word in ("Live test", "Capacitors keep a charge", "Gas:", "Sealed system", "microwave"):
        assert said.count(word) >= 1, word
    app = opened("power_of_tests", sample_shop, monkeypatch)
    assert app.error


def test_how_reliable_shows_hit_rate_next_to_false_alarms(sample_shop: Path, monkeypatch):
    app = opened("power_of_tests", sample_shop, monkeypatch)
    check(app)
    assert "(hit rate), and in" in texts(app)
    names = [trace["name"] for trace in json.loads(app.get("plotly_chart")[0].proto.spec)["data"]]
    assert [name.split(":")[0] for name in names] == ["hit rate", "false alarms"]
    row = app.dataframe[0].value.iloc[0]
    of = [
        int(re.search(r"of ([\d,]+) jobs", row[name])[1]) for name in ("hit_words", "alarm_words")
    ]
    assert len(jobs_listed(app)) == sum(of)


def test_order_of_tests_opens_on_the_complaint_with_most_to_save(sample_shop, monkeypatch):
    app = opened("order_of_tests", sample_shop, monkeypatch)
    check(app)
    table = measure(sample_shop, "order_of_tests")
    saved = table.assign(saved=table["usual_expected_minutes"] - table["expected_minutes"])
    most = saved.loc[saved["saved"].astype(float).idxmax()]
    assert app.selectbox(key="complaint").value == f"{most.appliance_kind}/{most.symptom}"
    shown = texts(app)
    assert f"save {most.saved:.0f} min a job" in shown
    assert "They differ from step 1" in shown
    assert "lock out" in shown
    assert app.get("download_button")
    of_most = (table["symptom"] == most.symptom) & (table["appliance_kind"] == most.appliance_kind)
    made = table[of_most & (table["position"] == 1)]["jobs_made"]
    assert len(jobs_listed(app)) == made.iloc[0]


def test_a_live_step_of_the_card_is_under_the_live_caution(sample_shop: Path, monkeypatch):
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
