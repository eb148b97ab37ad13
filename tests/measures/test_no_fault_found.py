"""No fault found: who is counted, what came back, what was measured; drawn by hand."""

from pathlib import Path

import pytest

from dashboard.diagnosis.no_fault_sentences import measured_words, return_words, share_words
from tests.ask import measure, run
from tests.shop_builder import shop
from tests.test_pages import check, opened, texts

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom         | disposition    | customer | root_cause          | callback_of
A      | 2026-01-01 | 2026-01-02 | refrigerator   | warm_fresh_food | no_fault_found | one      |                     |
B      | 2026-01-20 | 2026-01-21 | refrigerator   | warm_fresh_food | repaired       | one      | defrost_heater_open |
C      | 2026-01-01 | 2026-01-02 | refrigerator   | warm_fresh_food | no_fault_found | two      |                     |
D      | 2026-02-10 | 2026-02-11 | refrigerator   | warm_fresh_food | repaired       | two      | defrost_heater_open |
E      | 2026-01-01 | 2026-01-02 | refrigerator   | warm_fresh_food | no_fault_found |          |                     |
F      | 2026-01-05 | 2026-01-06 | refrigerator   | warm_fresh_food | repaired       | six      | defrost_heater_open |
G      | 2026-01-01 | 2026-01-02 | refrigerator   | warm_fresh_food | no_fault_found | seven    |                     |
H      | 2026-01-10 | 2026-01-11 | refrigerator   | leaks           | repaired       | seven    | drain_blocked       |
I      | 2026-01-01 | 2026-01-02 | refrigerator   | warm_fresh_food | no_fault_found | eight    |                     |
J      | 2026-01-10 | 2026-01-11 | refrigerator   | warm_fresh_food | cancelled      | eight    |                     |
K      | 2026-01-01 | 2026-01-02 | refrigerator   | warm_fresh_food | declined       | nine     |                     |
L      | 2026-06-01 | 2026-06-02 | refrigerator   | warm_fresh_food | no_fault_found | ten      |                     |
"""
READINGS = """
job_id | test_point            | value        | seq
A      | defrost_heater_r      | intermittent | 1
C      | defrost_heater_r      | 22 ohm       | 1
F      | defrost_heater_r      | OL           | 1
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A came again after 18 days; C after 39; G with another complaint; I was called off."""
    points = run_points(tmp_path)
    return shop(tmp_path / "shop", jobs=JOBS, readings=READINGS.replace("defrost_heater_r", points))


def run_points(tmp_path: Path) -> str:
    """Return a test point of refrigerators that is a resistance."""
    import sql

    return next(
        row["test_point"]
        for row in sql.lookup("test_points")
        if "defrost_heater" in row["test_point"] and row["quantity"] == "resistance"
    )


def test_who_is_counted_and_who_came_back(folder: Path):
    row = measure(folder, "no_fault_found").iloc[0]
    assert (row.no_fault, row.jobs) == (6, 11)  # J was canceled
    assert row.mature == 4  # E: appliance not known; L: closed too recently
    assert (row.came_back, row.fault_later) == (1, 1)
    assert (row.repaired_mature, row.repaired_back) == (4, 0)


def test_a_wider_window_sees_more(folder: Path):
    assert measure(folder, "no_fault_found", window_days=60).iloc[0].came_back == 2


def test_the_lists_are_as_long_as_the_numbers(folder: Path):
    row = measure(folder, "no_fault_found").iloc[0]
    for which in ("no_fault", "came_back", "not_measured", "unstable_jobs"):
        jobs = run(folder, "pages/no_fault_jobs", which=which)
        assert len(jobs) == row[which], which
    back = run(folder, "pages/no_fault_jobs", which="came_back")
    assert back[["job_id", "callback_days"]].iloc[0].tolist() == ["A", 18]


def test_what_was_measured_and_what_came_and_went(folder: Path):
    row = measure(folder, "no_fault_found").iloc[0]
    assert (row.not_measured, row.unstable_jobs) == (4, 1)
    tests = run(folder, "pages/no_fault_tests").iloc[0]
    assert (tests.jobs, tests.kind_jobs) == (2, 6)
    assert "intermittent fault" in measured_words(row)
    assert "6 of 11 jobs" in share_words(row)
    assert "1 of 4 jobs, too few for a percentage" in return_words(row, 30)


def test_repairs_come_back_as_on_the_page_of_callbacks(sample_shop: Path):
    ours = measure(sample_shop, "no_fault_found", group_by="symptom").set_index("group")
    theirs = measure(sample_shop, "callbacks", group_by="symptom").set_index("group")
    both = ours.index.intersection(theirs.index)
    assert len(both) > 10
    for group in both:
        assert ours.loc[group, "repaired_mature"] == theirs.loc[group, "mature"]
        assert ours.loc[group, "repaired_back"] == theirs.loc[group, "callbacks_in_window"]


def test_the_page_says_share_return_and_what_cannot_be_said(sample_shop, monkeypatch):
    app = opened("no_fault_found", sample_shop, monkeypatch)
    check(app)
    assert "No fault was found on 175 of 5,914 jobs" in texts(app)
    assert "cannot say how many faults are" in texts(app)
