"""A bar opens the jobs that it counts, in the same tab."""

from pathlib import Path
from urllib.parse import parse_qs, urlparse

import pytest
from playwright.sync_api import expect

from dashboard.filters import Filters
from tests.ask import measure, run
from tests.browser.clicks import FIRST_CELL, at_rest, click_row, heading_count, opened
from tests.browser.conftest import settled

pytestmark = pytest.mark.browser


def test_a_bar_opens_the_jobs_of_its_reason(browser, serve, sample_shop: Path):
    served = serve(sample_shop)
    page = opened(browser, served, "repeat_visits")
    page.locator(".js-plotly-plot .bars .point path").first.click(force=True)
    page.wait_for_url("**/jobs?**", timeout=30_000)
    reasons = measure(sample_shop, "repeat_visits").set_index("reason")
    (reason,) = parse_qs(urlparse(page.url).query)["reason"]
    assert heading_count(page) == reasons.loc[reason].jobs
    served.check()
    page.close()


def test_the_callback_curve_opens_the_jobs_back_by_that_day(browser, serve, sample_shop: Path):
    served = serve(sample_shop)
    page = opened(browser, served, "callbacks")
    page.locator(".js-plotly-plot .scatterlayer .point").nth(40).click(force=True)
    page.wait_for_url("**/jobs?**", timeout=30_000)
    query = parse_qs(urlparse(page.url).query)
    assert query["list"] == ["back_by"]
    curve = measure(sample_shop, "callback_curve")
    back = curve.loc[curve["day"] <= int(query["within"][0]), "callbacks"].sum()
    assert heading_count(page) == back > 0
    served.check()
    page.close()


def test_a_row_under_details_opens_its_jobs_too(browser, serve, sample_shop: Path):
    served = serve(sample_shop)
    page = opened(browser, served, "repeat_visits")
    page.get_by_text("Details: ranges, minutes and cost").click()
    table = page.get_by_test_id("stExpander").get_by_test_id("stDataFrame")
    (reason,) = click_row(page, table)["reason"]
    reasons = measure(sample_shop, "repeat_visits").set_index("reason")
    assert heading_count(page) == reasons.loc[reason].jobs
    served.check()
    page.close()


def test_a_month_of_the_chart_opens_that_month_and_the_list_still_chooses(
    browser, serve, sample_shop: Path
):
    served = serve(sample_shop)
    page = opened(browser, served, "month")
    chart = page.get_by_test_id("stMain").locator(".st-key-signals")
    chart.locator(".scatterlayer .point").first.click(force=True)
    page.wait_for_url("**month=**", timeout=30_000)
    settled(page)
    first = parse_qs(urlparse(page.url).query)["month"][0]
    page.get_by_test_id("stMain").get_by_role("combobox", name="Month").click()
    page.get_by_role("option", name="March 2026", exact=True).click()
    page.wait_for_url("**month=March+2026**", timeout=30_000)
    settled(page)
    assert first != "March 2026"
    assert parse_qs(urlparse(page.url).query)["month"] == ["March 2026"]
    served.check()
    page.close()


def test_a_click_keeps_the_filters_and_one_step_back_returns(browser, serve, sample_shop: Path):
    """Also where the address holds parameters to which widgets of the page are bound."""
    served = serve(sample_shop)
    page = opened(browser, served, "root_cause_mix?branch=Mill+Lane")
    page.locator(".js-plotly-plot .bars .point path").first.click(force=True)
    page.wait_for_url("**/jobs?**", timeout=30_000)
    query = parse_qs(urlparse(page.url).query)
    assert query["branch"] == ["Mill Lane"]
    assert {"cause", "complaint"} <= query.keys()
    shown = heading_count(page)
    again = opened(browser, served, page.url.removeprefix(f"{served.url}/"))
    assert heading_count(again) == shown > 0
    page.go_back()
    expect(page.get_by_role("heading", name="Root causes", level=1)).to_be_visible(timeout=30_000)
    assert parse_qs(urlparse(page.url).query)["branch"] == ["Mill Lane"]
    served.check()


def test_a_job_is_found_from_the_page_of_another(browser, serve, sample_shop: Path):
    served = serve(sample_shop)
    first, second = run(sample_shop, "pages/jobs")["job_id"].head(2)
    page = opened(browser, served, f"job?job={first}")
    search = page.get_by_label("Find a job")
    search.fill(str(second))
    search.press("Enter")
    page.wait_for_url(f"**/job?job={second}", timeout=30_000)
    settled(page)
    assert page.get_by_role("textbox", name="Job number").input_value() == str(second)
    served.check()


def test_a_meter_opens_its_readings_of_that_technician(browser, serve, sample_shop: Path):
    served = serve(sample_shop)
    page = opened(browser, served, "meter_check")
    rows = page.locator("[data-testid=stDataFrame]:visible").first.locator("canvas").first
    at_rest(page, rows)
    rows.click(position=FIRST_CELL, force=True)
    page.wait_for_url("**/reading_distribution?**technician=**", timeout=30_000)
    assert parse_qs(urlparse(page.url).query)["technician"] == ["Osei"]
    served.check()


ROWS = [  # page, what the address of its jobs names
    ("first_time_fix", "group"),
    ("callbacks", "group"),
    ("repeat_visits", "reason"),
    ("van_stock", "part_no"),
    ("root_cause_mix", "cause"),
]


@pytest.mark.parametrize(("name", "names"), ROWS)
def test_a_row_opens_what_it_names_with_the_filter_kept(
    browser, serve, sample_shop: Path, name: str, names: str
):
    """A row of any page that navigates, with a filter set; the link shows the same again."""
    served = serve(sample_shop)
    page = opened(browser, served, f"{name}?branch=Mill+Lane")
    query = click_row(page, page.locator("[data-testid=stDataFrame]:visible").first)
    assert query["branch"] == ["Mill Lane"]
    assert {"list", names} <= query.keys()
    shown = heading_count(page)
    again = opened(browser, served, page.url.removeprefix(f"{served.url}/"))
    assert heading_count(again) == shown > 0
    page.go_back()
    page.wait_for_url(f"**/{name}?**", timeout=30_000)
    served.check()


DETAILS = [  # page, measure, what the address of its jobs names, columns of the measure
    ("mix_ups", "mix_ups",
     {"kind": "appliance_kind", "complaint": "symptom", "first": "first_component",
      "final": "final_component"}),
    ("power_of_tests", "power_of_tests",
     {"kind": "appliance_kind", "complaint": "symptom", "test_point": "test_point"}),
]  # fmt: skip


@pytest.mark.parametrize(("name", "counted_by", "names"), DETAILS)
def test_a_row_under_details_opens_as_many_jobs_as_it_counts(
    browser, serve, sample_shop: Path, name: str, counted_by: str, names: dict[str, str]
):
    """Under a filter, which stays; all rows: tests/ui/test_details_open_jobs.py."""
    served = serve(sample_shop)
    page = opened(browser, served, f"{name}?branch=Mill+Lane")
    page.get_by_text("Details", exact=True).click()
    query = click_row(page, page.get_by_test_id("stExpander").get_by_test_id("stDataFrame").first)
    assert query["branch"] == ["Mill Lane"]
    rows = measure(sample_shop, counted_by, Filters(branch=("Mill Lane",)))
    for key, column in names.items():
        rows = rows[rows[column] == query[key][0]]
    counts = ["jobs"] if "jobs" in rows else ["tp", "fp", "fn", "tn"]
    assert heading_count(page) == rows.iloc[0][counts].sum() > 0
    served.check()
    page.close()


def test_on_a_phone_the_menu_closes_after_a_choice(browser, serve, sample_shop: Path):
    served = serve(sample_shop)
    page = opened(browser, served, "callbacks", {"width": 390, "height": 800})
    page.get_by_test_id("stExpandSidebarButton").click()
    link = page.get_by_test_id("stSidebarNavLink").filter(has_text="Return trips")
    link.click()
    expect(page.get_by_role("heading", name="Return trips", level=1)).to_be_visible(timeout=30_000)
    expect(link).not_to_be_in_viewport()
    served.check()
    page.close()
