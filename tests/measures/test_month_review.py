"""What each month held: its figures by hand, and next to those of other measures."""

from pathlib import Path

import pytest

from tests.ask import measure
from tests.shop_builder import shop

JOBS = """
job_id | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer | charged | parts_charged | minutes_on_job | visit_count
A      | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one      | 100     | 50            | 40             | 1
B      | 2026-01-03 | 2026-01-31 | washer         | leaks   | repaired    | two      | 300     | 100           | 60             | 1
C      | 2026-01-05 | 2026-01-06 | washer         | leaks   | declined    | three    | 80      |               | 20             | 1
D      | 2026-02-01 | 2026-02-01 | washer         | leaks   | repaired    | four     | 200     |               |                | 1
"""
PARTS = """
job_id | part_no | unit_cost | quantity
A      | P1      | 20        | 1
B      | P1      | 20        | 2
"""


@pytest.fixture(scope="module")
def drawn(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Three jobs in January, one in February."""
    return shop(tmp_path_factory.mktemp("month"), jobs=JOBS, part_lines=PARTS)


def test_the_figures_of_a_month_are_those_of_its_jobs(drawn: Path):
    row = measure(drawn, "month_review").set_index("month").loc["2026-01"]
    assert (row.closed, row.repaired, row.declined) == (3, 2, 1)
    assert row.median_minutes == 40
    assert row.revenue == 100 + 300 + 80
    assert row.revenue_per_job == 480 / 3
    assert row.parts_margin == pytest.approx((150 - 60) / 150)  # margin is a share of the price


def test_a_month_without_prices_or_minutes_says_nothing_of_them(drawn: Path):
    row = measure(drawn, "month_review").set_index("month").loc["2026-02"]
    assert row.isna()["median_minutes"]
    assert row.isna()["parts_margin"]


def test_the_month_agrees_with_first_time_fix(sample_shop: Path):
    """Two ways to the same number: the month's row by group, and the month's filter."""
    by_month = measure(sample_shop, "first_time_fix", group_by="month").set_index("group")
    row = measure(sample_shop, "month_signals").set_index("month")
    for month in ("2025-09", "2026-03"):
        assert row.loc[month, "fixed_first_time"] == by_month.loc[month, "fixed_first_time"]
        assert row.loc[month, "mature"] == by_month.loc[month, "mature"]
