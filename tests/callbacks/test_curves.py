"""The horizon of callbacks is written once, in SQL; charts and sentences read it there."""

import re
from pathlib import Path

import pandas as pd

import sql
from dashboard.callbacks.curves import HORIZON_DAYS, at_risk
from tests.ask import run
from tests.shop_builder import shop

ROOT = Path(__file__).parents[2]
JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
A      | 2024-01-01 | 2024-01-02 | washer         | leaks   | repaired    | one
B      | {day}      | {day}      | washer         | leaks   | repaired    | one
"""


def test_the_number_is_in_one_sql_file_only():
    places = {
        path.name
        for path in (ROOT / "sql").rglob("*.sql")
        if re.search(rf"\b{HORIZON_DAYS}\b", re.sub("--.*", "", path.read_text(encoding="utf-8")))
    }
    assert places == {"rate_macros.sql"}


def test_a_return_on_the_last_day_is_linked_and_one_a_day_later_is_not(tmp_path: Path):
    """A closed on 2024-01-02; 2024 is a leap year, so 365 days later is 2025-01-01."""
    assert sql.constant("callback_horizon_days") == 365
    for day, came_back in (("2025-01-01", True), ("2025-01-02", False)):
        folder = shop(tmp_path / day, jobs=JOBS.format(day=day))
        jobs = run(folder, "pages/observed_days").set_index("job_id")
        assert bool(jobs.loc["A", "has_callback"]) is came_back
        assert jobs.loc["A", "observed_days"] == 365


def test_jobs_still_tracked_are_those_that_left_on_the_day_or_later():
    """Five jobs of one group leave on days 10, 30 (twice), 31 and 90; the other has one, day 5."""
    curve = pd.DataFrame(
        {
            "group": ["b", "a", "a", "a", "a"],
            "day": [5, 10, 30, 31, 90],
            "callbacks": [1, 0, 2, 1, 0],
            "censored": [0, 1, 0, 0, 1],
        }
    )
    found = at_risk(curve, (0, 30, 31, 91)).set_index("group")
    assert found.to_dict("index") == {
        "a": {"day 0": 5, "day 30": 4, "day 31": 2, "day 91": 0},
        "b": {"day 0": 1, "day 30": 0, "day 31": 0, "day 91": 0},
    }
    assert list(at_risk(curve[:0], (0, 30)).columns) == ["group", "day 0", "day 30"]
