"""A bar opens the jobs that it counts, in the same tab."""

import re
from pathlib import Path
from urllib.parse import parse_qs, urlparse

import pytest
from playwright.sync_api import Browser, Page, expect

from tests.ask import measure
from tests.browser.conftest import Served, settled

pytestmark = pytest.mark.browser
DESK = {"width": 1440, "height": 1200}


def opened(browser: Browser, served: Served, address: str, size: dict[str, int] = DESK) -> Page:
    """Open an address and wait for its title."""
    page = served.watch(browser.new_page(viewport=size))
    page.goto(f"{served.url}/{address}")
    page.get_by_role("heading", level=1).wait_for(timeout=60_000)
    return settled(page)


def heading_count(page: Page) -> int:
    """Return the count in the heading of the list of jobs."""
    heading = page.get_by_test_id("stMain").get_by_role("heading", level=3)
    expect(heading.first).to_have_text(re.compile(r"^[\d,]+ job"), timeout=30_000)
    return int(heading.first.inner_text().split(" ")[0].replace(",", ""))


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
