"""Whole journeys in a real browser: a newcomer looks around; records are added, seen, corrected."""

import re
from importlib.resources import files
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, expect

from dashboard.database.snapshot import take
from dashboard.month.load import month_html
from dashboard.settings.file import read_settings
from etl.load import load
from tests.ask import measure, run
from tests.browser.conftest import downloaded, go, settled

pytestmark = pytest.mark.browser
EXPORT = """Ticket no,Received,Finished,Appliance,Complaint,Status,Customer name,Charged
1,03/14/2026,03/15/2026,washer,leaks,repaired,Canary One,100
2,03/16/2026,03/17/2026,washer,leaks,repaired,Canary Two,see bill
"""


def choose(page: Page, box: str, option: str) -> None:
    """Choose an option of a select box or multi-select by its label."""
    page.get_by_role("combobox", name=box).first.click()
    page.get_by_role("option", name=option, exact=True).click()
    page.keyboard.press("Escape")
    settled(page)


def test_a_newcomer_filters_and_goes_from_page_to_page(browser: Browser, serve, sample_shop: Path):
    served = serve(sample_shop)
    page = served.watch(browser.new_page(viewport={"width": 1400, "height": 1000}))
    page.goto(served.url)
    settled(page)
    go(page, "Owner", "First-time fix")
    row = measure(sample_shop, "first_time_fix").iloc[0]
    expect(page.get_by_text(f"{row.fixed_first_time:,} of {row.mature:,} jobs")).to_be_visible()
    choose(page, "Branch", "Mill Lane")
    expect(page.get_by_text("branch Mill Lane")).to_be_visible()
    assert "branch=Mill" in page.url
    go(page, "Owner", "Callbacks")
    expect(page.get_by_text("branch Mill Lane")).to_be_visible()
    table = downloaded(page, "Download table")
    assert table.read_text(encoding="utf-8").startswith("Group,")
    served.check()
    page.close()


def test_an_export_goes_from_file_to_dashboard(browser: Browser, serve, tmp_path: Path):
    """Foreign headers: the columns are proposed, the dates' order is seen, a row waits, one loads."""
    served = serve(tmp_path / "db")
    page = served.watch(browser.new_page(viewport={"width": 1400, "height": 1000}))
    page.goto(served.url)
    settled(page)
    expect(page.get_by_text("Nothing is loaded yet").first).to_be_visible()
    go(page, "Records", "Add records")
    export = tmp_path / "old_program.csv"
    export.write_text(EXPORT, encoding="utf-8")
    page.locator("input[type=file]").set_input_files(export)
    dates = page.get_by_role("combobox", name="Dates are written")
    expect(dates).to_have_value(re.compile("month first"), timeout=20_000)
    settled(page)
    page.get_by_role("button", name="See what would happen").click()
    settled(page)
    expect(page.get_by_role("heading", name="What would become")).to_be_visible(timeout=20_000)
    assert not (tmp_path / "db" / "CURRENT").exists()
    page.get_by_role("button", name="Load", exact=True).click()
    expect(page.get_by_text("Loaded: the pages show it now.")).to_be_visible(timeout=20_000)
    go(page, "Records", "What was loaded")
    expect(page.get_by_text("1 row needs you")).to_be_visible()
    waiting = downloaded(page, "old_program_to_fix.csv").read_text(encoding="utf-8")
    assert "see bill" in waiting
    assert "Canary" not in waiting
    corrected = tmp_path / "old_program_to_fix.csv"
    corrected.write_text(waiting.replace("see bill,", "80,", 1), encoding="utf-8")
    go(page, "Records", "Add records")
    page.locator("input[type=file]").set_input_files(corrected)
    page.get_by_role("button", name="Load", exact=True).click()
    expect(page.get_by_text("Loaded: the pages show it now.")).to_be_visible(timeout=20_000)
    assert measure(tmp_path / "db", "callbacks").iloc[0].repaired == 2
    served.check()
    page.close()


def test_a_bar_leads_to_its_jobs_and_on_to_one_job(browser: Browser, serve, sample_shop: Path):
    served = serve(sample_shop)
    page = served.watch(browser.new_page(viewport={"width": 1400, "height": 1000}))
    page.goto(served.url)
    settled(page)
    go(page, "Lead technician", "Root causes")
    page.locator(".js-plotly-plot .bars .point path").first.click(force=True)
    page.wait_for_url("**/jobs?**", timeout=30_000)
    settled(page)
    assert "cause=" in page.url
    rows = page.get_by_test_id("stMain").get_by_test_id("stDataFrame").first
    rows.locator("canvas").first.click(position={"x": 30, "y": 52}, force=True)
    page.wait_for_url("**/job?job=**", timeout=30_000)
    settled(page)
    number = page.get_by_role("textbox", name="Job number").input_value()
    assert number in set(run(sample_shop, "pages/jobs")["job_id"])
    served.check()
    page.close()


def test_a_changed_wage_changes_the_price_list(browser: Browser, serve, tmp_path: Path):
    folder = tmp_path / "db"
    load([Path(str(files("sample_data")))], folder)
    before = measure(folder, "flat_rate")["proposed_rate"].sum()
    served = serve(folder)
    page = served.watch(browser.new_page(viewport={"width": 1400, "height": 1000}))
    page.goto(served.url)
    settled(page)
    go(page, "Records", "Settings")
    page.get_by_text("Your rates and costs").click()
    wage = page.get_by_role("spinbutton", name="Wage per hour")
    wage.fill("40")
    wage.press("Tab")
    page.get_by_role("button", name="Save these settings").first.click()
    settled(page)
    assert read_settings(folder)["wage_per_hour"] == 40
    go(page, "Prices and parts", "Flat rates")
    page.get_by_test_id("stMain").get_by_role("link", name="Price list").click()
    expect(page.get_by_role("heading", name="Price list", level=1)).to_be_visible(timeout=30_000)
    text = downloaded(page, "Download (CSV)").read_text(encoding="utf-8")
    assert "40" in text
    assert measure(folder, "flat_rate")["proposed_rate"].sum() > before
    served.check()
    page.close()


def test_the_month_goes_to_paper(browser: Browser, serve, sample_shop: Path):
    served = serve(sample_shop)
    page = served.watch(browser.new_page(viewport={"width": 1400, "height": 1000}))
    page.goto(f"{served.url}/?month=2026-03")
    expect(page.get_by_text("well below the usual").first).to_be_visible(timeout=30_000)
    settled(page)
    assert downloaded(page, "Download month (PDF)", 60).read_bytes().startswith(b"%PDF")
    html = downloaded(page, "Download month (HTML)").read_text(encoding="utf-8")
    assert html == month_html(take(sample_shop), "2026-03")
    served.check()
    page.close()
