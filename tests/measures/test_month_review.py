"""The month: its figures by hand, its verdicts, its file."""

import re
from pathlib import Path

import pytest

from dashboard.database.snapshot import take
from dashboard.month.actions import MOST_ACTIONS
from dashboard.month.load import month_html, month_review
from dashboard.month.review import _verdict, month_days, months_before
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


@pytest.mark.parametrize(
    ("month", "last"),
    [("2026-02", "2026-02-28"), ("2024-02", "2024-02-29"), ("2026-12", "2026-12-31")],
)
def test_a_month_ends_on_its_last_day(month: str, last: str):
    """ISO 8601: 2024 is a leap year."""
    assert str(month_days(month)[1]) == last


def test_the_twelve_months_before_end_the_day_before(drawn: Path):
    assert [str(day) for day in months_before("2026-03", 12)] == ["2025-03-01", "2026-02-28"]


@pytest.mark.parametrize("text", ["2026-13", "March", "2026", ""])
def test_what_is_no_month_is_refused(text: str):
    with pytest.raises(ValueError, match=r".*"):
        month_days(text)


@pytest.mark.parametrize(
    ("low", "high", "expected"),
    [
        (0.01, 0.1, "higher, more than chance explains"),
        (-0.2, -0.01, "lower, more than chance explains"),
        (-0.1, 0.1, "within normal variation"),
        (float("nan"), 0.1, "cannot be said"),
    ],
)
def test_only_an_interval_without_zero_is_more_than_chance(low, high, expected):
    assert _verdict(low, high) == expected


def test_the_planted_bad_month_is_told_in_the_headline(sample_shop: Path):
    found = month_review(take(sample_shop), "2026-03")
    assert "below the baseline" in found.headline
    assert "beyond 3 sigma" in found.headline
    assert found.actions[0].jobs
    assert len(found.actions) <= MOST_ACTIONS


def test_an_ordinary_month_is_within_normal_variation(sample_shop: Path):
    assert "within normal variation" in month_review(take(sample_shop), "2026-02").headline


def test_the_planted_repairs_are_those_priced_under_cost(sample_shop: Path):
    found = month_review(take(sample_shop), "2026-09").under_cost
    assert set(found["repair_code"]) == {"replace_drain_pump_washer", "replace_drain_pump_dw"}


def test_the_month_agrees_with_first_time_fix(sample_shop: Path):
    """Two ways to the same number: the month's row by group, and the month's filter."""
    by_month = measure(sample_shop, "first_time_fix", group_by="month").set_index("group")
    row = measure(sample_shop, "month_signals").set_index("month")
    for month in ("2025-09", "2026-03"):
        assert row.loc[month, "fixed_first_time"] == by_month.loc[month, "fixed_first_time"]
        assert row.loc[month, "mature"] == by_month.loc[month, "mature"]


def test_the_file_stands_alone(sample_shop: Path):
    """No address, no script, no picture from elsewhere; text and numbers inside."""
    html = month_html(take(sample_shop), "2026-03")
    assert not re.findall(r"(?:src|href)=", html)
    assert "<script" not in html
    assert "url(" not in html
    assert html.count("<svg") >= 2
    assert "The month 2026-03" in html
    assert "Local codes, licences" in html


def test_the_file_is_the_same_each_time(sample_shop: Path):
    assert month_html(take(sample_shop), "2026-03") == month_html(take(sample_shop), "2026-03")


def test_what_people_wrote_is_shown_as_text(tmp_path: Path):
    jobs = """
    job_id                    | opened_on  | closed_on  | appliance_kind | symptom | disposition | customer | branch
    <script>alert(1)</script> | 2026-01-01 | 2026-01-02 | washer         | leaks   | repaired    | one      | <b>x</b>
    B                         | 2026-01-10 | 2026-01-12 | washer         | leaks   | repaired    | one      | <b>x</b>
    Z                         | 2026-06-01 | 2026-06-02 | washer         | leaks   | repaired    | two      | <b>x</b>
    """
    visits = """
    job_id                    | visit_no | technician | outcome         | minutes_on_job | travel_minutes
    <script>alert(1)</script> | 1        | Ann        | part_not_on_van | 30             | 20
    <script>alert(1)</script> | 2        | Ann        | completed       | 30             | 20
    """
    html = month_html(take(shop(tmp_path, jobs=jobs, visits=visits)), "2026-01")
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in html
    assert "<script" not in html


def test_a_month_without_jobs_says_so(drawn: Path):
    html = month_html(take(drawn), "2024-01")
    assert "No repair was closed in this month" in html
    assert "nan" not in html.lower()
