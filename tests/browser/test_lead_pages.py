"""Lead technician's promises in a browser: three clicks to a job, links that give the same page."""

from pathlib import Path

import pytest
from playwright.sync_api import Browser, expect

from tests.ask import run
from tests.browser.conftest import go, settled

pytestmark = pytest.mark.browser


def test_from_the_menu_to_a_job_that_proves_the_point_in_three_clicks(
    browser: Browser, serve, sample_shop: Path
):
    """Section, page, row: the first job listed is one of the habit that stands out."""
    served = serve(sample_shop)
    page = served.watch(browser.new_page(viewport={"width": 1440, "height": 1000}))
    page.goto(served.url)
    settled(page)
    go(page, "Lead technician", "Misdiagnosis")  # two clicks
    expect(page.get_by_text("Replaced without testing: one technician")).to_be_visible()
    jobs = page.get_by_test_id("stDataFrame").nth(4)
    jobs.scroll_into_view_if_needed()
    jobs.locator("canvas").first.click(position={"x": 30, "y": 52}, force=True)
    expect(page.get_by_role("heading", name="One job", exact=True)).to_be_visible(timeout=30_000)
    settled(page)
    expect(page.get_by_text("Back to replaced without testing")).to_be_visible()
    number = page.get_by_role("textbox", name="Job number").input_value()
    listed = run(sample_shop, "pages/diagnosis_jobs", pattern="not_tested")["job_id"]
    assert number in set(listed.astype(str))
    page.get_by_role("link", name="Next job").click()
    settled(page)
    expect(page.get_by_text("2 of ")).to_be_visible()
    page.get_by_role("link", name="Back to replaced without testing").click()
    expect(page.get_by_role("heading", name="Misdiagnosis", level=1)).to_be_visible(timeout=30_000)
    served.check()
    page.close()


def test_one_reading_lives_in_its_address(browser: Browser, serve, sample_shop: Path):
    served = serve(sample_shop)
    page = served.watch(browser.new_page(viewport={"width": 390, "height": 800}))
    page.goto(
        f"{served.url}/one_reading?point=Outlet+voltage%2C+L1+to+L2&value=208&service=208Y%2F120+V"
    )
    expect(page.get_by_text("Inside the limits.")).to_be_visible(timeout=30_000)
    settled(page)
    again = browser.new_page(viewport={"width": 390, "height": 800})
    again.goto(page.url)
    expect(again.get_by_text("Inside the limits.")).to_be_visible(timeout=30_000)
    box = again.get_by_text("Inside the limits.").bounding_box()
    field = again.get_by_role("spinbutton", name="Reading in V").bounding_box()
    assert box["y"] < field["y"]  # the answer first
    served.check()
    again.close()
    page.close()
