"""Months counted by hand, and the planted bad month of the sample shop."""

from datetime import date
from pathlib import Path

import pandas as pd
import pytest

from dashboard.filters import Filters
from dashboard.stats.control_chart import laney_sigma
from tests.ask import measure
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer
A      | 2026-01-01 | 2026-01-31 | washer         | leaks   | repaired    | one
B      | 2026-01-03 | 2026-02-01 | washer         | leaks   | repaired    | two
C      | 2026-02-10 | 2026-02-28 | washer         | leaks   | repaired    | three
D      | 2026-03-02 | 2026-03-30 | washer         | leaks   | repaired    | four
E      | 2026-02-02 | 2026-02-05 | washer         | leaks   | declined    | five
F      | 2026-03-01 | 2026-03-02 | washer         | leaks   | repaired    |
"""
VISITS = """
job_id | visit_no | technician | outcome
A      | 1        | Ann        | completed
B      | 1        | Ann        | part_not_on_van
B      | 2        | Ann        | completed
C      | 1        | Ann        | completed
D      | 1        | Ann        | completed
F      | 1        | Ann        | completed
"""


def test_months_are_those_of_closing_and_hold_mature_and_pending_jobs(tmp_path: Path):
    """A closed on the last day of January; C is exactly 30 days old; E, F are not counted."""
    rows = measure(shop(tmp_path, jobs=JOBS, visits=VISITS), "month_signals", window_days=30)
    found = {
        row.month: (row.mature, row.fixed_first_time, row.pending) for row in rows.itertuples()
    }
    assert found == {"2026-01": (1, 1, 0), "2026-02": (2, 1, 0), "2026-03": (0, 0, 1)}
    last = rows.iloc[2]
    assert last[["rate", "centre", "signals"]].isna().all()
    assert rows["centre"].tolist()[:2] == [0.5, 1.0]  # each by the other month of the baseline


def test_a_month_has_the_same_limits_whatever_period_is_shown(sample_shop: Path):
    everything = measure(sample_shop, "month_signals", window_days=30).set_index("month")
    chosen = Filters(from_date=date(2026, 3, 10), to_date=date(2026, 4, 2))
    shown = measure(sample_shop, "month_signals", chosen, window_days=30).set_index("month")
    assert shown.index.tolist() == ["2026-03", "2026-04"]
    pd.testing.assert_frame_equal(shown, everything.loc[["2026-03", "2026-04"]])


def test_a_month_does_not_widen_its_own_limits(sample_shop: Path):
    """The planted bad month is in the baseline, and out of the baseline that judges it."""
    rows = measure(sample_shop, "month_signals", window_days=30).set_index("month")
    baseline = rows[rows["is_baseline"] == True]  # noqa: E712
    others = baseline.drop("2026-03")
    bad = rows.loc["2026-03"]
    assert bad.centre == pytest.approx(others["fixed_first_time"].sum() / others["mature"].sum())
    assert bad.sigma_z == pytest.approx(laney_sigma(others["fixed_first_time"], others["mature"]))


def test_the_baseline_is_as_long_as_the_setting_says(sample_shop: Path):
    rows = measure(sample_shop, "month_signals", window_days=30, baseline_months=3)
    assert rows.loc[rows["is_baseline"] == True, "month"].tolist() == [  # noqa: E712
        "2025-05",
        "2025-06",
        "2025-07",
    ]
    assert rows["sigma_z"].isna().all()


def test_the_planted_month_and_no_other_is_signalled(sample_shop: Path):
    rows = measure(sample_shop, "month_signals", window_days=30)
    fired = rows[rows["signals"].fillna("") != ""]
    assert fired["month"].tolist() == ["2026-03"]
    assert fired["signals"].iloc[0] == "a point beyond 3 sigma"


def test_months_agree_with_first_time_fix_by_month(sample_shop: Path):
    rows = measure(sample_shop, "month_signals", window_days=60)
    other = measure(sample_shop, "first_time_fix", window_days=60, group_by="month")
    for column in ("mature", "fixed_first_time", "pending"):
        assert rows[column].tolist() == other[column].tolist()
